import '../../panel/build/build.css'
import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import { scaleMixture } from '../../../../shared-core/mix/quantities.ts'
import { formatQuantity } from '../../../../shared-core/mix/units.ts'
import type { FilmKnowledge, PlanFormula } from '../../../../shared-core/records/film.ts'
import type { Mixture } from '../../../../shared-core/records/mixture.ts'
import { mixtureOf } from '../../../parts/film/film-words.ts'
import { QuantityField } from '../../../parts/quantity-field.tsx'
import { decimalSign, usesUsUnits } from '../../../parts/say-numbers.ts'
import { setPlan, usePlan } from '../../../state/plan.ts'
import { useStore } from '../../../state/store.ts'
import { PartsBar } from '../../panel/build/parts-bar.tsx'

/** The least and the most that a spray list takes, in mL. */
export const cupLimits = { from: 5, to: 20_000 }

/** The cup in parts, and what its size comes to. */
export function Cup({ formula, knows }: { formula: PlanFormula; knows: FilmKnowledge }) {
  const mixture = mixtureOf(formula, knows)
  if (!mixture) return null
  return (
    <section className="block plan-cup" aria-label="The cup">
      <h2>The cup</h2>
      <PartsBar mixture={mixture} />
      <Amounts mixture={mixture} />
    </section>
  )
}

function Amounts({ mixture }: { mixture: Mixture }) {
  const settings = useStore((s) => s.settings)
  const cupMl = usePlan((s) => s.cupMl)
  const [system, decimal] = [usesUsUnits(settings) ? 'us' : 'metric', decimalSign(settings)] as const
  const poured = amountsOf(mixture, cupMl)
  return (
    <>
      <CupSize />
      <ul className="plan-amounts num">
        {poured.map(({ name, ml }) => (
          <li key={name}>
            <span>{name}</span>
            <b>{formatQuantity(ml, 'volume', system, decimal)}</b>
          </li>
        ))}
      </ul>
    </>
  )
}

/** How large a cup is mixed: everything poured. */
export function CupSize() {
  const cupMl = usePlan((s) => s.cupMl)
  return (
    <QuantityField
      label="Size of the cup, everything poured"
      measure="volume"
      value={cupMl}
      limits={cupLimits}
      onValue={(ml) => {
        if (ml !== null && ml >= cupLimits.from && ml <= cupLimits.to) setPlan({ cupMl: ml })
      }}
    />
  )
}

function amountsOf(mixture: Mixture, cupMl: number): { name: string; ml: number }[] {
  try {
    const { ingredients } = scaleMixture(mixture, { basis: 'volume', amount: cupMl, of: 'cup' })
    return ingredients.flatMap(({ material, volumeMl }) =>
      volumeMl === null ? [] : [{ name: material.name, ml: volumeMl }],
    )
  } catch (error) {
    if (error instanceof Refusal) return []
    throw error
  }
}
