import type { Kysely } from 'kysely'
import type { MaterialKind, MaterialRef } from '../../../shared-core/records/mixture.ts'
import type { Tables } from '../tables.ts'

/** What carries, hardens or thins a candy. */
export type Liquid = Extract<MaterialKind, 'carrier' | 'hardener' | 'reducer'>

/**
 * The carrier, hardener and reducer that are usual with some candies: the one most used with them, else the rack's
 * commonest, else a bare name.
 */
export async function usualLiquids(
  db: Kysely<Tables>,
  candyIds: readonly string[],
): Promise<Record<Liquid, MaterialRef>> {
  const rows = await db
    .selectFrom('layer')
    .innerJoin('panel', 'panel.id', 'layer.panel_id')
    .innerJoin('mixture_part', 'mixture_part.root_id', 'layer.mixture_id')
    .innerJoin('material', 'material.id', 'mixture_part.material_id')
    .select(['layer.id as layer_id', 'material.id', 'material.name', 'material.kind', 'material.on_shelf'])
    .where('layer.kind', '=', 'candy')
    .where('panel.deleted_at', 'is', null)
    .where('material.kind', 'in', ['concentrate', 'carrier', 'hardener', 'reducer'])
    .execute()
  const wanted = new Set(candyIds)
  const together = new Set(rows.flatMap((row) => (wanted.has(row.id) ? [row.layer_id] : [])))
  const usual = (kind: Liquid): MaterialRef => {
    const own = rows.filter((row) => row.kind === kind)
    const pick = [own.filter((row) => together.has(row.layer_id)), own].find((some) => some.length > 0) ?? []
    const uses = [...Map.groupBy(pick, (row) => row.id).values()]
    const [best] = uses.toSorted((a, b) => b.length - a.length || ((a[0]?.name ?? '') < (b[0]?.name ?? '') ? -1 : 1))
    const material = best?.[0]
    return material ? { id: material.id, name: material.name, kind } : { id: null, name: kind, kind }
  }
  return { carrier: usual('carrier'), hardener: usual('hardener'), reducer: usual('reducer') }
}
