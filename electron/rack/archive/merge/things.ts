import type { Row } from '../../history/rows.ts'
import { extensionOf } from './files.ts'
import { alter, comeIn, freeId, keyOf, type Merging } from './merging.ts'
import { needPhoto } from './photos.ts'
import { areAlike, type Side, text, textOrNull } from './sides.ts'

/** What panels share: each is matched by its id, else by name with the same facts, else it comes in. */
export type Thing = 'light' | 'gun_setup' | 'material' | 'setup'

const materialFacts = [
  'maker_name',
  'density_kg_per_l',
  'volume_solids_percent',
  'pot_life_min',
  'flake_micron',
  'isocyanate',
] as const

/** Where one of them does not say, they do not disagree. */
const agree = (a: Row, b: Row): boolean =>
  materialFacts.every(
    (name) => [a[name], b[name]].some((value) => value === null || value === '') || a[name] === b[name],
  )

function alike(m: Merging, table: Thing, row: Row): Row | undefined {
  const { ours } = m
  const named = (more = '') => ours.all(`select * from "${table}" where name = ?${more} order by id`, text(row.name))
  switch (table) {
    case 'light':
      return named().find(({ kelvin }) => kelvin === row.kelvin)
    case 'gun_setup':
      return named().find((other) => areAlike(row, other, ['id', 'name']))
    case 'material':
      return named().find((other) => other.kind === row.kind && agree(row, other))
    case 'setup':
      return named(' and deleted_at is null').find(({ camera, fit }) => camera === row.camera && fit === row.fit)
  }
}

/** The id that it has here, or will have. It does not come in yet. */
export function idHere(m: Merging, table: Thing, id: string): string {
  const known = m.ids.get(keyOf(table, id))
  if (known !== undefined) return known
  const row = m.theirs.get(table, id)
  const same = m.ours.get(table, id) ?? (row && alike(m, table, row))
  const here = same ? text(same.id) : id
  m.ids.set(keyOf(table, id), here)
  return here
}

/** As `idHere`; what is not here yet comes in. */
export function need(m: Merging, table: Thing, id: Row[string] | undefined): string | null {
  const theirId = textOrNull(id)
  if (theirId === null) return null
  const row = m.theirs.get(table, theirId)
  if (!row) return null
  const here = idHere(m, table, theirId)
  const key = keyOf(table, here)
  if (m.coming.has(key)) return here
  const old = m.ours.get(table, here)
  if (old) {
    if (here === theirId) bring(m, table, row, old)
    return here
  }
  m.coming.add(key)
  bringIn(m, table, { ...row, id: here })
  return here
}

/** What is on hand, and what it costs here, is this workshop's. */
const ofTheShelf = [
  'on_shelf',
  'on_hand',
  'on_hand_basis',
  'opened_on',
  'reorder_at',
  'batch',
  'cost_per_l',
  'replaced_by_id',
]

/** The same thing in another state: theirs counts where they alone went on. */
function bring(m: Merging, table: Thing, row: Row, old: Row): void {
  if (m.altered.has(keyOf(table, text(old.id))) || m.verdict(table, text(row.id)) !== 'there') return
  const keep = table === 'material' ? ofTheShelf : ['position', 'light_id', 'photo_id']
  const wanted = Object.fromEntries(Object.entries(row).filter(([name]) => !keep.includes(name)))
  // two lights of one name cannot be
  if (table === 'light' && row.name !== old.name) wanted.name = m.names.free('light', text(row.name))
  if (alter(m, table, text(old.id), wanted) && table === 'material') bringSheet(m, row)
}

function bringIn(m: Merging, table: Thing, row: Row): void {
  switch (table) {
    case 'light':
      comeIn(m, table, { ...row, name: m.names.free('light', text(row.name)), position: nextPosition(m.ours) })
      return
    case 'gun_setup':
      comeIn(m, table, row)
      return
    case 'material': {
      comeIn(m, table, { ...row, replaced_by_id: null })
      bringSheet(m, row)
      const by = need(m, 'material', row.replaced_by_id)
      if (by !== null) m.sink({ table, kind: 'update', id: text(row.id), row: { replaced_by_id: by } })
      bringMoves(m, row)
      return
    }
    case 'setup':
      comeIn(m, table, { ...row, light_id: need(m, 'light', row.light_id), photo_id: needPhoto(m, row.photo_id) })
  }
}

const nextPosition = (ours: Side): number =>
  Number(ours.all('select coalesce(max(position), -1) + 1 as next from light')[0]?.next ?? 0)

function bringSheet(m: Merging, row: Row): void {
  const sha256 = textOrNull(row.data_sheet_sha256)
  if (sha256 === null) return
  const name = `data-sheets/${sha256.slice(0, 2)}/${sha256}.${extensionOf(text(row.data_sheet_name))}`
  m.files.set(name, { byteCount: null })
}

/** What was bought and poured of it there, for a material that was not here; of others, this shelf's own account stands. */
function bringMoves(m: Merging, material: Row): void {
  for (const move of m.theirs.all('select * from stock_move where material_id = ? order by id', text(material.id))) {
    if (m.ours.get('stock_move', text(move.id))) continue
    // cups come later, if they do
    comeIn(m, 'stock_move', { ...move, id: freeId(m, 'stock_move', text(move.id), 'moved'), cup_id: null })
  }
}
