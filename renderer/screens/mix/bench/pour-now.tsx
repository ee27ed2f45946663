import { type CSSProperties, useEffect, useRef } from 'react'
import { useShallow } from 'zustand/react/shallow'
import { inOunces, sayStep } from '../../../../shared-core/mix/cup/say-amounts.ts'
import { compare, toNumber, zero } from '../../../../shared-core/mix/rational.ts'
import { formatShort } from '../../../../shared-core/mix/units.ts'
import type { Cup } from '../../../../shared-core/records/cup.ts'
import type { Material } from '../../../../shared-core/records/mixture.ts'
import { atCup, changeAtCup, useBench } from '../../../state/mix-bench.ts'
import { useStore } from '../../../state/store.ts'
import { wordingOf } from '../say-amounts.ts'
import { BenchHeading } from './bench-heading.tsx'
import { OverPour } from './over-pour.tsx'
import { backOne, batchOf, leaveIt, pourNow, takeBack, toHeading } from './pour.ts'
import type { Bench, PourStep } from './reckon/bench-steps.ts'
import { levelsOf } from './reckon/levels.ts'
import { meaningOf, readTyped } from './reckon/typed-reading.ts'

type Props = { bench: Bench; step: PourStep; cup: Cup; materials: readonly Material[] }

/** The next ingredient: how much of it, what scale or cup will say, and what it said. */
export function PourNow({ bench, step, cup, materials }: Props) {
  const settings = useStore((s) => s.settings)
  const words = wordingOf(settings)
  const { zeroed } = useBench(useShallow((s) => atCup(s, cup.id)))
  const [typed, batches] = useBench(useShallow((s) => [s.typed, s.batches]))
  const { unit, rest, line } = step
  const meaning = meaningOf(bench, step, zeroed)
  const read = readTyped(typed, bench, step, zeroed, cup, materials)
  const field = useTypedAnywhere()
  const isShown = meaning === 'total'
  const amount = sayStep(rest.toPour, step.step, words.decimal)
  const target = isShown ? sayStep(step.after, cup.measure.step, words.decimal) : amount
  const onIt = cup.measure.by === 'mass' ? 'on the scale' : 'in the cup'
  const said = step.apart ? 'weighed apart' : isShown ? onIt : `${onIt}, from zero`
  const next = nextName(bench, step)
  return (
    <div className="bench-pour">
      <BenchHeading stepId={step.id}>
        <span>
          {rest.topUp ? 'Top up' : 'Pour'} {step.no} of {bench.lines.length}:
        </span>{' '}
        {line.name}
      </BenchHeading>
      <p className="bench-target" style={{ '--chars': target.length } as CSSProperties}>
        <b>{target}</b>
        <span>
          <i>{unit}</i>
          {said}
        </span>
      </p>
      <div className="bench-also">
        {step.done ? (
          <p>
            It is in: {sayStep(line.poured ?? 0, step.step, words.decimal)} {unit}.
          </p>
        ) : (
          <p>
            Add{' '}
            <b>
              {amount} {unit}
            </b>
            {step.drops === null ? '' : ` (${step.drops} drops)`}
            {isShown && compare(step.before, zero) > 0
              ? ` to the ${sayStep(step.before, cup.measure.step, words.decimal)} ${unit} there`
              : ''}
          </p>
        )}
        <p className="bench-or">{orElse(bench, step, cup, materials, words)}</p>
      </div>
      <form
        className="bench-read"
        onSubmit={(event) => {
          event.preventDefault()
          void pourNow(cup, materials)
        }}
      >
        <label className="bench-ask" htmlFor="bench-reading">
          {ask[meaning](cup.measure.by, line.name)}
        </label>
        <span className="bench-unit">
          <input
            id="bench-reading"
            ref={field}
            className="input"
            inputMode="decimal"
            autoComplete="off"
            value={typed}
            aria-invalid={read.kind === 'wrong'}
            onChange={(event) => useBench.setState({ typed: event.target.value })}
            onKeyDown={(event) => {
              if (event.key !== 'Escape') return
              event.stopPropagation()
              useBench.setState({ typed: '' })
              toHeading()
            }}
          />
          {unit}
        </span>
        <div className="bench-said" aria-live="polite">
          {read.kind === 'wrong' ? (
            <p>
              <b>{read.message}</b> {read.remedy}
            </p>
          ) : read.kind === 'read' && read.over ? (
            <OverPour rest={read.rest} bench={bench} words={words} cup={cup} />
          ) : read.kind === 'read' && read.short ? (
            <p>
              <b>
                {sayStep(read.rest.lines[step.no - 1]!.toPour, step.step, words.decimal)} {unit} of it are still wanted
                after that.
              </b>
            </p>
          ) : (
            <>
              <p>
                Leave it empty when it landed on {target} {unit}.
              </p>
              {step.apart ? null : (
                <label className="check">
                  <input
                    type="checkbox"
                    checked={zeroed}
                    onChange={(event) => changeAtCup(cup.id, { zeroed: event.target.checked })}
                  />
                  <span>{cup.measure.by === 'mass' ? 'Scale set to zero before each' : 'Measured one by one'}</span>
                </label>
              )}
            </>
          )}
        </div>
        <label className="bench-batch">
          <span>Batch</span>
          <input
            className="input"
            autoComplete="off"
            value={batchOf(step, batches, materials)}
            maxLength={120}
            onChange={(event) => useBench.setState({ batches: { ...batches, [step.id]: event.target.value } })}
          />
        </label>
        <div className="bench-acts">
          <Left step={step} cup={cup} materials={materials} isOver={read.kind === 'read' && read.over} />
          <button type="submit" className="btn main" data-pours="" aria-disabled={read.kind === 'wrong'}>
            {read.kind === 'read'
              ? read.over
                ? grownTo(read.rest.total, bench, words.decimal)
                : `Write down ${sayStep(read.poured, step.step, words.decimal)} ${unit}`
              : step.done
                ? `Go on: ${next}`
                : `Poured ${target} ${unit}. Next: ${next}`}
          </button>
        </div>
      </form>
      {bench.rest.keepGoing && typed === '' ? (
        <div className="bench-grown">
          <OverPour rest={bench.rest} bench={bench} words={words} cup={cup} />
          <TakeBackOver bench={bench} cup={cup} materials={materials} />
        </div>
      ) : null}
    </div>
  )
}

/** The reading that made the cup grow, taken back: it may have been read wrong. */
function TakeBackOver({ bench, cup, materials }: Omit<Props, 'step'>) {
  const over = bench.steps.find((each): each is PourStep => each.kind === 'pour' && each.rest.over)
  if (!over) return null
  return (
    <button type="button" className="btn plain" onClick={() => void takeBack(cup, over, materials)}>
      Take back the reading of {over.line.name}
    </button>
  )
}

const ask = {
  total: (by: 'mass' | 'volume', _name: string) =>
    by === 'mass' ? 'Something else? Type what the scale shows.' : 'Something else? Type what the cup shows.',
  added: (_by: 'mass' | 'volume', name: string) => `Something else? Type how much ${name} went in.`,
  own: (_by: 'mass' | 'volume', name: string) => `Something else? Type how much ${name} is in it in all.`,
}

/** The button beside the main one: back, or what to do with a line that went wrong. */
function Left({ step, cup, materials, isOver }: Omit<Props, 'bench'> & { isOver: boolean }) {
  if (isOver) {
    return (
      <button type="button" className="btn" onClick={() => void pourNow(cup, materials, true)}>
        Leave it so
      </button>
    )
  }
  return (
    <>
      <button type="button" className="btn" onClick={() => backOne(cup, materials)}>
        Back one
      </button>
      {step.rest.topUp ? (
        <button type="button" className="btn" onClick={() => void leaveIt(cup, step, materials)}>
          Leave it so
        </button>
      ) : null}
      {step.line.poured !== null && step.done ? (
        <button type="button" className="btn" onClick={() => void takeBack(cup, step, materials)}>
          Take it back
        </button>
      ) : null}
    </>
  )
}

const grownTo = (total: Bench['rest']['total'], { measuring }: Bench, decimal: 'comma' | 'point'): string =>
  `Recompute for ${formatShort(toNumber(total), 1, decimal)} ${measuring.by === 'mass' ? 'g' : 'mL'}`

/** What comes once this step is done. */
function nextName({ steps }: Bench, step: PourStep): string {
  const open = steps.find((each) => !each.done && each.id !== step.id)
  if (open?.kind === 'pour') return open.line.name
  return open?.kind === 'strain' ? 'stir and strain' : 'write it down'
}

/** The same in the other way of measuring, where the densities are known. */
function orElse(
  bench: Bench,
  step: PourStep,
  cup: Cup,
  materials: readonly Material[],
  words: ReturnType<typeof wordingOf>,
): string {
  const ounces = inOunces(toNumber(step.rest.toPour), step.unit, words)
  const said = ounces === '' ? '' : `which is ${ounces}`
  if (step.apart) return `${said === '' ? '' : `${said}; `}weighed on its own, then stirred in.`
  if (cup.measure.by === 'volume' || step.done) return said
  const levels = levelsOf(bench, step, cup, materials)
  if (levels.unit !== 'mL') return said
  const line = `or fill a marked cup to the ${formatShort(levels.after, 1, words.decimal)} mL line.`
  return said === '' ? line : `${said}, ${line}`
}

/** A figure typed anywhere on the bench goes into the field. */
function useTypedAnywhere() {
  const field = useRef<HTMLInputElement>(null)
  useEffect(() => {
    const listen = (event: KeyboardEvent) => {
      if (event.ctrlKey || event.metaKey || event.altKey || !/^[0-9.,]$/.test(event.key)) return
      const target = event.target instanceof HTMLElement ? event.target : null
      if (target?.matches('input, textarea, select') || document.querySelector('dialog[open]')) return
      event.preventDefault()
      useBench.setState((s) => ({ typed: s.typed + event.key }))
      field.current?.focus()
    }
    addEventListener('keydown', listen)
    return () => removeEventListener('keydown', listen)
  }, [])
  return field
}
