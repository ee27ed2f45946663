import {
  cautionsFor,
  type Ingredient,
  namesIsocyanates,
  type SafetyCaution,
} from '../../../../../shared-core/mix/safety/cautions.ts'
import { cautionKinds } from '../../../../../shared-core/mix/shelf-facts.ts'
import { isPowder } from '../../../../../shared-core/mix/stock.ts'
import type { Material } from '../../../../../shared-core/records/mixture.ts'
import type { Bench, BenchStep } from './bench-steps.ts'

/** Each caution of mixing once, at the first step that it is about; spraying speaks at the last. By step. */
export function cautionsByStep({ steps, lines }: Bench, materials: readonly Material[]): Map<string, SafetyCaution[]> {
  const kinds = cautionKinds(
    lines.map(({ materialId, name, kind }) => ({ id: materialId, name, kind })),
    materials,
  )
  const pouredAt = (step: BenchStep): Ingredient | null =>
    step.kind === 'pour' ? (kinds[lines.findIndex(({ id }) => id === step.id)] ?? null) : null
  const first = (is: (poured: Ingredient) => boolean): string | undefined =>
    steps.find((step) => {
      const poured = pouredAt(step)
      return poured !== null && is(poured)
    })?.id
  const places: Record<string, string | undefined> = {
    'safety/isocyanates': first(namesIsocyanates),
    'safety/hardener-free': first(({ kind }) => kind === 'hardener'),
    'safety/isocyanates-if-catalysed': first(({ kind }) => kind === 'clear' || kind === 'sealer'),
    'safety/powder': first(isPowder),
    'safety/vapour': first((poured) => !isPowder(poured)),
    'safety/rags': steps.find(({ kind }) => kind === 'strain')?.id,
  }
  const found = new Map<string, SafetyCaution[]>()
  const put = (id: string | undefined, caution: SafetyCaution) => {
    if (id !== undefined) found.set(id, [...(found.get(id) ?? []), caution])
  }
  for (const caution of cautionsFor(kinds, 'mix')) {
    // the line at the top of the bench says it all the time
    if (caution.code !== 'safety/electronics') put(places[caution.code] ?? steps[0]?.id, caution)
  }
  return found
}
