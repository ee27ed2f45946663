import { useState } from 'react'
import { cupLabelOf } from '../../../../shared-core/label/cup/from-cup.ts'
import { inPouringOrder } from '../../../../shared-core/mix/cup/pouring-order.ts'
import { sayAsked, sayStep } from '../../../../shared-core/mix/cup/say-amounts.ts'
import { formulaInWords } from '../../../../shared-core/mix/formula-words.ts'
import { cautionsFor } from '../../../../shared-core/mix/safety/cautions.ts'
import { isCatalysed } from '../../../../shared-core/mix/safety/materials-in.ts'
import { cautionKinds } from '../../../../shared-core/mix/shelf-facts.ts'
import { type Clock, readClock } from '../../../../shared-core/mix/spray/clocks.ts'
import type { Cup } from '../../../../shared-core/records/cup.ts'
import type { Material } from '../../../../shared-core/records/mixture.ts'
import { printCard } from '../../../commands/mix/print-card.ts'
import { throwAway } from '../../../commands/mix/throw-away.ts'
import { Caution } from '../../../parts/caution.tsx'
import { CommandButton } from '../../../parts/command-button.tsx'
import { ArrowBack } from '../../../parts/icons.tsx'
import { sayDay } from '../../../parts/say-numbers.ts'
import { sayTime } from '../../../parts/say-time.ts'
import { useAnswer } from '../../../state/asking.ts'
import { useBench } from '../../../state/mix-bench.ts'
import { go, goBack, type MixFrom } from '../../../state/router.ts'
import { useStore } from '../../../state/store.ts'
import { useNow } from '../../../state/use-now.ts'
import { CupLabelDialog } from '../../sheet/cup-label-dialog.tsx'
import { sayClock, wordingOf } from '../say-amounts.ts'
import { clocksOf } from './cup-clocks.ts'

/** A cup that is mixed: its clocks, what spraying asks for, what was poured, its label. */
export function MixedCup({ cup, materials }: { cup: Cup; materials: readonly Material[] }) {
  const settings = useStore((s) => s.settings)
  const words = wordingOf(settings)
  const short = useBench((s) => s.short[cup.id]) ?? []
  const [labels, setLabels] = useState(false)
  const isGone = cup.status === 'thrown-away'
  const refs = cup.lines.map(({ materialId, name, kind }) => ({ id: materialId, name, kind }))
  const at = cup.mixedAt ?? cup.startedAt
  return (
    <main className="mixed scroll" aria-label={`Cup ${cup.code}`}>
      <header className="mix-head">
        <button type="button" className="btn" onClick={() => goBack({ at: 'mix', cupId: null, from: null })}>
          <ArrowBack />
          Back
        </button>
        <div>
          <h1 className="say">
            <b className="num">{cup.code}</b> {cup.title}
          </h1>
          <p className="fine">
            {isGone ? 'Thrown away. ' : ''}
            {cup.mixedAt === null ? 'Started' : 'Mixed'} {sayDay(at)}, {sayTime(at, settings)}
            {cup.mixedBy === '' ? '' : ` by ${cup.mixedBy}`}. {cup.target.words}
          </p>
        </div>
        <div className="mixed-acts">
          {isGone ? null : <CommandButton command={throwAway} look="plain" />}
          <CommandButton command={printCard} />
          <button type="button" className="btn" onClick={() => go({ at: 'mix', cupId: null, from: fromOf(cup) })}>
            Mix it again
          </button>
          {isGone ? null : (
            <button type="button" className="btn main" onClick={() => setLabels(true)}>
              Print the cup label
            </button>
          )}
        </div>
      </header>
      <div className="mixed-body">
        {isGone ? null : <Clocks cup={cup} />}
        {short.length > 0 ? (
          <section className="block mixed-short" aria-label="Shelf">
            <h2>Not off the shelf as poured</h2>
            {short.map((sentence) => (
              <Caution key={sentence} message={sentence} />
            ))}
          </section>
        ) : null}
        <section className="block" aria-label="What was poured">
          <h2>What was poured</h2>
          <table className="mix-lines">
            <thead>
              <tr>
                <th scope="col">Ingredient</th>
                <th scope="col">Asked</th>
                <th scope="col">Poured</th>
                <th scope="col">Batch</th>
              </tr>
            </thead>
            <tbody>
              {inPouringOrder(cup.lines).map(({ id, name, powder, wanted, poured, accepted, batch }) => {
                const unit = powder || cup.measure.by === 'mass' ? 'g' : 'mL'
                return (
                  <tr key={id}>
                    <th scope="row">{name}</th>
                    <td className="num">
                      {sayAsked(wanted, cup.measure, words.decimal)} {unit}
                    </td>
                    <td className="num">
                      {accepted ? <span className="fine">left so </span> : null}
                      {poured === null ? 'nothing' : `${sayStep(poured, cup.measure.step, words.decimal)} ${unit}`}
                    </td>
                    <td>{batch}</td>
                  </tr>
                )
              })}
            </tbody>
          </table>
          <p className="fine">{formulaInWords(cup.mixture, words).join('; ')}</p>
          {cup.notes === '' ? null : <p>{cup.notes}</p>}
        </section>
        {isGone ? null : (
          <section className="block mixed-cautions" aria-label="When it is sprayed">
            <h2>When it is sprayed</h2>
            {cautionsFor(cautionKinds(refs, materials), 'spray').map(({ code, message, remedy }) => (
              <Caution key={code} message={message} remedy={remedy} />
            ))}
          </section>
        )}
      </div>
      {labels ? <Label cup={cup} onClose={() => setLabels(false)} /> : null}
    </main>
  )
}

function Clocks({ cup }: { cup: Cup }) {
  const now = useNow()
  const clocks = clocksOf(cup)
  return (
    <section className="mixed-clocks" aria-label="Clocks">
      {clocks.length === 0 ? <p className="say">Mixed. Stir once more before it goes into the gun.</p> : null}
      {clocks.map((clock) => (
        <OneClock key={clock.kind} clock={clock} now={now} />
      ))}
    </section>
  )
}

function OneClock({ clock, now }: { clock: Clock; now: number }) {
  const { state, remainingS, words } = readClock(clock, new Date(now).toISOString())
  return (
    <div className="mixed-clock" role="timer" aria-label={clock.kind === 'stand' ? 'Standing' : 'Pot life'}>
      <span className="railname">{clock.kind === 'stand' ? 'Stands' : 'Pot life'}</span>
      <time className="num">
        {state === 'over' ? (clock.kind === 'stand' ? 'Ready' : 'Over') : sayClock(remainingS)}
      </time>
      {clock.kind === 'pot-life' && state !== 'running' ? <Caution message={words} /> : <p>{words}</p>}
    </div>
  )
}

function Label({ cup, onClose }: { cup: Cup; onClose: () => void }) {
  const panel = useAnswer('panels.get', cup.panelId === null ? null : { key: cup.panelId })
  const shelf = useAnswer('materials.list', {}).value
  if (!shelf || (cup.panelId !== null && !panel.value && !panel.error)) return null
  const looked = shelf.materials.flatMap(({ id, isocyanate }) =>
    isocyanate === null ? [] : [[id, isocyanate] as const],
  )
  return (
    <CupLabelDialog
      cup={{ ...cupLabelOf(cup, panel.value?.panel.code ?? null), isocyanates: Object.fromEntries(looked) }}
      hardens={isCatalysed(cup.mixture) || cup.potLifeUntil !== null}
      onClose={onClose}
    />
  )
}

/** Where another cup of it starts: from the job, the panel, or its own formula. */
export function fromOf({ customerJobId, panelId, mixture }: Cup): MixFrom {
  if (customerJobId !== null) return { kind: 'job', key: customerJobId }
  if (panelId !== null) return { kind: 'panel', key: panelId }
  return { kind: 'formula', key: formulaInWords(mixture, { decimal: 'point', forTyping: true }).join('; ') }
}
