import type { Kysely } from 'kysely'
import type { Output } from '../../../../shared-core/contract/calls.ts'
import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import { largestCup, type OnHand } from '../../../../shared-core/mix/cup/targets.ts'
import { nameKey } from '../../../../shared-core/mix/material-names.ts'
import { sharesOf } from '../../../../shared-core/mix/quantities.ts'
import { toNumber } from '../../../../shared-core/mix/rational.ts'
import type { Material, MaterialRef, Mixture } from '../../../../shared-core/records/mixture.ts'
import type { Tables } from '../../tables.ts'
import { readMixtures } from '../mixtures.ts'
import { listMaterials } from '../shelf.ts'

type StillMixed = Output<'shelf.listMixable'>['formulas'][number]

/**
 * What can still be mixed of the candies on the rack, from what was counted; the most first, and last of what nothing is
 * known. One line a panel.
 */
export async function listMixable(db: Kysely<Tables>): Promise<StillMixed[]> {
  const materials = new Map((await listMaterials(db)).map((material) => [material.id, material]))
  const rows = await db
    .selectFrom('layer')
    .innerJoin('panel', 'panel.id', 'layer.panel_id')
    .select(['panel.id', 'panel.code', 'panel.title', 'layer.mixture_id'])
    .where('layer.kind', '=', 'candy')
    .where('layer.mixture_id', 'is not', null)
    .where('panel.deleted_at', 'is', null)
    .where('panel.status', '!=', 'retired')
    .orderBy('panel.code')
    .orderBy('layer.position', 'desc')
    .execute()
  const mixtures = await readMixtures(
    db,
    rows.flatMap(({ mixture_id: id }) => (id === null ? [] : [id])),
  )
  const seen = new Set<string>()
  const formulas: StillMixed[] = []
  for (const { id, code, title, mixture_id: mixtureId } of rows) {
    const mixture = mixtureId === null ? undefined : mixtures.get(mixtureId)
    if (!mixture || seen.has(id)) continue
    seen.add(id)
    formulas.push({ panelId: id, code, title, ...stillMixed(mixture, materials) })
  }
  return formulas.toSorted((a, b) => (b.volumeMl ?? -1) - (a.volumeMl ?? -1) || (a.code < b.code ? -1 : 1))
}

/** What a formula's own materials allow. */
export function stillMixed(
  mixture: Mixture,
  materials: ReadonlyMap<string, Material>,
): Omit<StillMixed, 'panelId' | 'code' | 'title'> {
  const known = (ref: MaterialRef): Material | undefined => (ref.id === null ? undefined : materials.get(ref.id))
  let needed: MaterialRef[]
  try {
    needed = sharesOf(mixture).map(({ material }) => material)
  } catch (error) {
    // what cannot be worked out without a density is still listed, as not counted
    if (!(error instanceof Refusal)) throw error
    needed = materialsOf(mixture)
  }
  const once = needed.filter((ref, at) => needed.findIndex((other) => keyOf(other) === keyOf(ref)) === at)
  const missing = once.filter((ref) => {
    const material = known(ref)
    return material !== undefined && (!material.onShelf || material.onHand?.amount === 0)
  })
  const notCounted = once.filter((ref) => (known(ref)?.onHand ?? null) === null)
  const names = (refs: readonly MaterialRef[]): string[] => refs.map(({ name }) => name)
  const rest = { missing: names(missing), notCounted: names(notCounted) }
  const counted = once.flatMap((ref): OnHand[] => {
    const onHand = known(ref)?.onHand
    return onHand ? [{ material: ref, ...onHand }] : []
  })
  if (counted.some(({ amount }) => amount === 0)) {
    const [first] = counted.filter(({ amount }) => amount === 0)
    return { volumeMl: 0, limitedBy: first?.material.name ?? null, ...rest }
  }
  const densityOf = (ref: MaterialRef): number | null => known(ref)?.densityKgPerL ?? null
  const unmeasured: string[] = []
  // a material counted by the other measure, whose density nobody typed in, is left out and named
  const usable = counted.filter((each) => {
    try {
      largestCup(mixture, [each], densityOf)
      return true
    } catch (error) {
      if (!(error instanceof Refusal)) throw error
      unmeasured.push(each.material.name)
      return false
    }
  })
  const most = usable.length === 0 ? null : largestCup(mixture, usable, densityOf)
  return {
    volumeMl: most?.cup.volumeMl ? toNumber(most.cup.volumeMl) : null,
    limitedBy: most?.limitedBy.name ?? null,
    missing: rest.missing,
    notCounted: [...rest.notCounted, ...unmeasured],
  }
}

const keyOf = ({ id, name }: MaterialRef): string => id ?? nameKey(name)

const materialsOf = ({ parts }: Mixture): MaterialRef[] =>
  parts.flatMap(({ material, mixture }) => (material ? [material] : mixture ? materialsOf(mixture) : []))
