import { stepsIn } from '../../../../shared-core/mix/cup/measuring.ts'
import { sayStep } from '../../../../shared-core/mix/cup/say-amounts.ts'
import { fromNumber } from '../../../../shared-core/mix/rational.ts'
import type { SafetyCaution } from '../../../../shared-core/mix/safety/cautions.ts'
import { usualStandMin } from '../../../../shared-core/mix/spray/clocks.ts'
import { strainingFor } from '../../../../shared-core/mix/spray/straining.ts'
import type { Cup } from '../../../../shared-core/records/cup.ts'
import type { Material } from '../../../../shared-core/records/mixture.ts'
import { printCard } from '../../../commands/mix/print-card.ts'
import { throwAway } from '../../../commands/mix/throw-away.ts'
import { Caution } from '../../../parts/caution.tsx'
import { CommandButton } from '../../../parts/command-button.tsx'
import { SmallTriangle } from '../../../parts/icons.tsx'
import { useBench } from '../../../state/mix-bench.ts'
import { useWording, type Wording } from '../say-amounts.ts'
import type { Bench, BenchStep } from './reckon/bench-steps.ts'
import { cautionsByStep } from './reckon/cautions-here.ts'

type Props = { bench: Bench; step: BenchStep; cup: Cup; materials: readonly Material[] }

/** All steps in their order, each a way to it, with the cautions that it asks for. */
export function StepsRail({ bench, step, cup, materials }: Props) {
  const words = useWording()
  const cautions = cautionsByStep(bench, materials)
  return (
    <aside className="bench-rail" aria-label="Steps">
      <ol className="bench-steps scroll">
        {bench.steps.map((each, at) => (
          <li key={each.id} className={each.id === step.id ? 'now' : each.done ? 'done' : ''}>
            <button
              type="button"
              className="bench-step"
              aria-current={each.id === step.id ? 'step' : undefined}
              onClick={() => useBench.setState({ at: { cupId: cup.id, stepId: each.id }, typed: '' })}
            >
              <span className="bench-no">{at + 1}</span>
              <b>{nameOf(each, bench)}</b>
              <span className="bench-amount num">{amountOf(each, words)}</span>
              <span className="fine">{each.id === step.id ? 'now' : stateOf(each, bench, cup, words)}</span>
            </button>
            <Cautions cautions={cautions.get(each.id) ?? []} isFull={each.id === step.id} />
          </li>
        ))}
      </ol>
      <div className="bench-rail-acts">
        <CommandButton command={throwAway} look="plain" />
        <CommandButton command={printCard} />
      </div>
    </aside>
  )
}

function Cautions({ cautions, isFull }: { cautions: readonly SafetyCaution[]; isFull: boolean }) {
  return cautions.map(({ code, message, remedy, label }) =>
    isFull ? (
      <Caution key={code} message={message} remedy={remedy} />
    ) : (
      <p key={code} className="fine bench-caution">
        <SmallTriangle /> {label}
      </p>
    ),
  )
}

function nameOf(step: BenchStep, bench: Bench): string {
  if (step.kind === 'pour') return step.line.name
  if (step.kind === 'record') return 'Stand, write down'
  const { strainerUm } = strainingFor(bench.pouring.map(({ material }) => material))
  return strainerUm === null ? 'Stir and strain' : `Stir and strain, ${strainerUm} µm`
}

/** What is wanted of it now: after an over-pour it is more than at first. */
function amountOf(step: BenchStep, { decimal }: Wording): string {
  if (step.kind !== 'pour') return ''
  const { rest, unit, line } = step
  const steps = stepsIn(rest.wanted, fromNumber(step.step))
  const amount = step.done && line.poured !== null ? line.poured : Number(steps) * step.step
  return `${sayStep(amount, step.step, decimal)} ${unit}`
}

function stateOf(step: BenchStep, { lines }: Bench, { measure }: Cup, { decimal }: Wording): string {
  if (step.kind === 'record') {
    const isDyed = lines.some(({ kind }) => kind === 'concentrate')
    return isDyed ? `dye stands ${usualStandMin.least} to ${usualStandMin.most} minutes` : 'and off the shelf'
  }
  if (step.kind === 'strain') {
    return step.done ? 'done' : lines.some(({ kind }) => kind === 'flake') ? 'before flake goes in' : 'once all is in'
  }
  const { rest, unit, line } = step
  if (rest.topUp) return `${sayStep(rest.toPour, step.step, decimal)} ${unit} more`
  if (step.done && line.accepted) return 'left as it is'
  if (step.done) return rest.over ? 'poured, more than asked' : 'poured'
  return step.apart ? 'weighed apart' : `to ${sayStep(readingOf(step), measure.step, decimal)} ${unit}`
}

/** What scale or cup will say after it, poured in order. */
const readingOf = ({ rest }: Extract<BenchStep, { kind: 'pour' }>) => rest.reading ?? rest.toPour
