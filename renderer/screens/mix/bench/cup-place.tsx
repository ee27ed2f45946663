import { ChangeFields } from '../../../parts/change-only.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { atCup, useBench } from '../../../state/mix-bench.ts'
import { go } from '../../../state/router.ts'
import { MixedCup } from '../mixed/mixed-cup.tsx'
import { CupDrawing } from './cup-drawing.tsx'
import { PourNow } from './pour-now.tsx'
import { type BenchStep, benchOf } from './reckon/bench-steps.ts'
import { RecordStep } from './record-step.tsx'
import { StepsRail } from './steps-rail.tsx'
import { StrainNow } from './strain-now.tsx'

/** One cup: what is poured next, and once it is mixed, how long it stands and keeps. */
export function CupPlace({ cupKey }: { cupKey: string }) {
  const { value, error } = useAnswer('cups.get', { key: cupKey })
  const shelf = useAnswer('materials.list', {})
  const materials = shelf.value?.materials
  const kept = useBench((s) => (value ? s.cups[value.cup.id] : undefined))
  const at = useBench((s) => s.at)
  if (error) {
    return (
      <main className="mix-alone" aria-label="Mix">
        <h1 className="say">{error.message}</h1>
        <p className="lead">{error.remedy}</p>
        <button type="button" className="btn main" onClick={() => go({ at: 'mix', cupId: null, from: null })}>
          See the cups there are
        </button>
      </main>
    )
  }
  if (!value || !materials) return <main className="mix-alone" aria-label="Mix" />
  const { cup } = value
  if (cup.status !== 'pouring') return <MixedCup cup={cup} materials={materials} />
  const bench = benchOf(cup, materials, kept ?? atCup({ cups: {} }, cup.id))
  const step: BenchStep =
    (at?.cupId === cup.id ? bench.steps.find(({ id }) => id === at.stepId) : undefined) ?? bench.next
  return (
    <main className="bench" aria-label={`Cup ${cup.code}`}>
      <CupDrawing bench={bench} step={step} cup={cup} materials={materials} />
      <section className="bench-now" aria-label="Now">
        <header className="bench-top">
          <p className="lead">
            <b className="num">{cup.code}</b> {cup.title}
          </p>
          <p className="fine">{cup.target.words}</p>
          <p className="fine bench-outside">
            This computer stays out of the mixing room while there is vapour: take the printed card in.
          </p>
        </header>
        <ChangeFields>
          {step.kind === 'pour' ? (
            <PourNow key={step.id} bench={bench} step={step} cup={cup} materials={materials} />
          ) : step.kind === 'strain' ? (
            <StrainNow bench={bench} cup={cup} materials={materials} />
          ) : (
            <RecordStep bench={bench} cup={cup} materials={materials} />
          )}
        </ChangeFields>
      </section>
      <StepsRail bench={bench} step={step} cup={cup} materials={materials} />
    </main>
  )
}
