import { cautionsFor, type SafetyCaution } from '../../../../../shared-core/mix/safety/cautions.ts'
import type { Material, MaterialKind } from '../../../../../shared-core/records/mixture.ts'
import { cautionKinds } from '../../shelf-facts.ts'
import type { Bench, BenchStep } from './bench-steps.ts'

/** Each caution of mixing once, at the first step that it is about; spraying speaks at the last. By step. */
export function cautionsByStep({ steps, lines }: Bench, materials: readonly Material[]): Map<string, SafetyCaution[]> {
  const kinds = cautionKinds(
    lines.map(({ materialId, name, kind }) => ({ id: materialId, name, kind })),
    materials,
  )
  const kindOf = (step: BenchStep): MaterialKind | null =>
    step.kind === 'pour' ? (kinds[lines.findIndex(({ id }) => id === step.id)]?.kind ?? null) : null
  const first = (is: (kind: MaterialKind) => boolean): string | undefined =>
    steps.find((step) => {
      const kind = kindOf(step)
      return kind !== null && is(kind)
    })?.id
  const isPowder = (kind: MaterialKind) => kind === 'pearl' || kind === 'flake'
  const places: Record<string, string | undefined> = {
    'safety/isocyanates': first((kind) => kind === 'hardener'),
    'safety/isocyanates-if-catalysed': first((kind) => kind === 'clear' || kind === 'sealer'),
    'safety/powder': first(isPowder),
    'safety/vapour': first((kind) => !isPowder(kind)),
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
