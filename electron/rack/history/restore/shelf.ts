import { among } from '../../queries/among.ts'
import { sameWords } from '../../queries/shelf.ts'
import type { MaterialRow } from '../../tables.ts'
import type { Planning } from './plan.ts'

/**
 * Materials and gun set-ups that a panel named then and that are not in the rack any more.
 * @returns ids of materials that stand in the place of those named then
 */
export async function planShelf(planning: Planning): Promise<Map<string, string>> {
  const { db, past, alterations } = planning
  const instead = new Map<string, string>()
  const here = new Map(
    (
      await db
        .selectFrom('material')
        .selectAll()
        .where('id', 'in', among(past.shared.all('material').map(({ id }) => id)))
        .execute()
    ).map((row) => [row.id, row]),
  )
  const back: string[] = []
  for (const material of past.shared.all('material')) {
    const present = here.get(material.id)
    if (present) noteName(planning, material, present)
    else if (await bringBack(planning, material, instead)) back.push(material.name)
  }
  if (back.length > 0)
    planning.notes.push(`Removed from the shelf, and back on its list as used up: ${back.join(', ')}.`)
  const setups = past.shared.all('gun_setup')
  const known = new Set(
    (
      await db
        .selectFrom('gun_setup')
        .select('id')
        .where('id', 'in', among(setups.map(({ id }) => id)))
        .execute()
    ).map(({ id }) => id),
  )
  for (const setup of setups)
    if (!known.has(setup.id)) alterations.push({ table: 'gun_setup', id: setup.id, to: { ...setup } })
  return instead
}

function noteName({ notes }: Planning, then: MaterialRow, now: MaterialRow): void {
  if (then.name !== now.name) notes.push(`${then.name} is called ${now.name} now, and stays so.`)
}

/** @returns false where another stands in its place */
async function bringBack(
  { db, notes, alterations }: Planning,
  material: MaterialRow,
  instead: Map<string, string>,
): Promise<boolean> {
  const alike = await db.selectFrom('material').select(['id', 'name']).where('kind', '=', material.kind).execute()
  const same = alike.find(({ name }) => sameWords(name, material.name))
  if (same) {
    instead.set(material.id, same.id)
    notes.push(`${material.name} was removed from the shelf and put there anew: the one that is there now is named.`)
    return false
  }
  const replaced =
    material.replaced_by_id === null
      ? undefined
      : await db.selectFrom('material').select('id').where('id', '=', material.replaced_by_id).executeTakeFirst()
  alterations.push({
    table: 'material',
    id: material.id,
    // how much there is was not counted since
    to: { ...material, on_shelf: 0, on_hand: null, on_hand_basis: null, replaced_by_id: replaced?.id ?? null },
  })
  return true
}
