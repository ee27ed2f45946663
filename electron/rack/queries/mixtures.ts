import type { Kysely } from 'kysely'
import { v7 } from 'uuid'
import type { AmountUnit, Basis, MaterialKind, Mixture, Part } from '../../../shared-core/records/mixture.ts'
import type { Changing } from '../history/change.ts'
import type { Tables } from '../tables.ts'
import { among } from './among.ts'
import { findOrAddMaterial } from './shelf.ts'

/** Keeps a mixture with everything nested in it. @returns the id of the outermost */
export async function insertMixture(change: Changing, mixture: Mixture): Promise<string> {
  const rootId = v7()
  let position = 0
  const put = async (id: string, { name, basis, parts }: Mixture): Promise<void> => {
    await change.insert('mixture', { id, root_id: rootId, name, basis })
    for (const part of parts) {
      const place = position++
      const childId = part.mixture && v7()
      if (part.mixture && childId) await put(childId, part.mixture)
      await change.insert('mixture_part', {
        id: v7(),
        mixture_id: id,
        root_id: rootId,
        position: place,
        amount: part.amount,
        unit: part.unit,
        material_id: part.material && (await findOrAddMaterial(change, part.material)),
        child_id: childId,
      })
    }
  }
  await put(rootId, mixture)
  return rootId
}

/** Removes a mixture with everything nested in it; nothing may name it any more. */
export async function removeMixture(change: Changing, rootId: string): Promise<void> {
  const parts = await change.db.selectFrom('mixture_part').select('id').where('root_id', '=', rootId).execute()
  for (const part of parts) await change.remove('mixture_part', part.id)
  const mixtures = await change.db.selectFrom('mixture').select('id').where('root_id', '=', rootId).execute()
  for (const mixture of mixtures) if (mixture.id !== rootId) await change.remove('mixture', mixture.id)
  await change.remove('mixture', rootId)
}

/** Whole mixtures by the id of the outermost. */
export async function readMixtures(db: Kysely<Tables>, rootIds: readonly string[]): Promise<Map<string, Mixture>> {
  if (rootIds.length === 0) return new Map()
  const mixtures = await db
    .selectFrom('mixture')
    .select(['id', 'name', 'basis'])
    .where('root_id', 'in', among(rootIds))
    .execute()
  const parts = await db
    .selectFrom('mixture_part')
    .leftJoin('material', 'material.id', 'mixture_part.material_id')
    .select([
      'mixture_part.mixture_id',
      'mixture_part.amount',
      'mixture_part.unit',
      'mixture_part.child_id',
      'material.id as material_id',
      'material.name as material_name',
      'material.kind as material_kind',
    ])
    .where('mixture_part.root_id', 'in', among(rootIds))
    .orderBy('mixture_part.root_id')
    .orderBy('mixture_part.position')
    .execute()
  const byId = new Map<string, Mixture>(
    mixtures.map((row) => [row.id, { name: row.name, basis: row.basis as Basis, parts: [] }]),
  )
  for (const row of parts) {
    const part: Part = {
      amount: row.amount,
      unit: row.unit as AmountUnit,
      material:
        row.material_id !== null && row.material_name !== null
          ? { id: row.material_id, name: row.material_name, kind: row.material_kind as MaterialKind }
          : null,
      mixture: row.child_id === null ? null : (byId.get(row.child_id) ?? null),
    }
    byId.get(row.mixture_id)?.parts.push(part)
  }
  return new Map(
    rootIds.flatMap((id): Array<[string, Mixture]> => {
      const mixture = byId.get(id)
      return mixture ? [[id, mixture]] : []
    }),
  )
}

/** Whether two mixtures say the same; a material is the same by id, or by name and kind where one has none yet. */
export function sameMixture(a: Mixture, b: Mixture): boolean {
  return (
    a.name === b.name &&
    a.basis === b.basis &&
    a.parts.length === b.parts.length &&
    a.parts.every((part, i) => {
      const other = b.parts[i]
      return other !== undefined && samePart(part, other)
    })
  )
}

function samePart(a: Part, b: Part): boolean {
  if (a.amount !== b.amount || a.unit !== b.unit) return false
  if (a.mixture && b.mixture) return sameMixture(a.mixture, b.mixture)
  if (!a.material || !b.material) return false
  return a.material.id !== null && b.material.id !== null
    ? a.material.id === b.material.id
    : a.material.kind === b.material.kind && a.material.name.toLowerCase() === b.material.name.toLowerCase()
}
