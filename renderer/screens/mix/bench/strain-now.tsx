import { flakeOf } from '../../../../shared-core/mix/shelf-facts.ts'
import { flakeTipWarning } from '../../../../shared-core/mix/spray/gun-limits.ts'
import { strainingFor } from '../../../../shared-core/mix/spray/straining.ts'
import type { Cup } from '../../../../shared-core/records/cup.ts'
import type { Material } from '../../../../shared-core/records/mixture.ts'
import { Caution } from '../../../parts/caution.tsx'
import { useWording } from '../say-amounts.ts'
import { BenchHeading } from './bench-heading.tsx'
import { backOne, pourNow } from './pour.ts'
import type { Bench } from './reckon/bench-steps.ts'

/** Stir and strain; flake goes in after it, if the tip lets it through. */
export function StrainNow({ bench, cup, materials }: { bench: Bench; cup: Cup; materials: readonly Material[] }) {
  const { decimal } = useWording()
  const refs = bench.pouring.map(({ material }) => material)
  const { steps, strainerUm, after } = strainingFor(refs)
  const tip =
    after.length > 0 && cup.tipMm !== null ? flakeTipWarning(cup.tipMm, flakeOf(refs, materials), decimal) : null
  return (
    <div className="bench-pour">
      <BenchHeading stepId="strain">
        <span>Stir,</span> {strainerUm === null ? 'then strain' : `then strain, ${strainerUm} µm`}
      </BenchHeading>
      <ol className="bench-do">
        {steps.slice(0, after.length > 0 ? -1 : undefined).map((step) => (
          <li key={step}>{step}</li>
        ))}
      </ol>
      {tip ? <Caution message={tip} /> : null}
      <div className="bench-acts bench-last">
        <button type="button" className="btn" onClick={() => backOne(cup, materials)}>
          Back one
        </button>
        <button type="button" className="btn main" data-pours="" onClick={() => void pourNow(cup, materials)}>
          Stirred and strained. Next: {after[0]?.name ?? 'write it down'}
        </button>
      </div>
    </div>
  )
}
