import type { Rack } from '../../opening/open.ts'
import type { Breach } from '../exam/rules.ts'

const tables = {
  'step-order': { table: 'step', of: 'panel_id' },
  'layer-order': { table: 'layer', of: 'panel_id' },
  'area-order': { table: 'area', of: 'photo_id' },
} as const

/** Counts positions from 0 on again, in the order in which they are. @returns how many rows have another position */
export async function mendOrder(rack: Rack, breaches: readonly Breach[]): Promise<number> {
  let moved = 0
  const wrong = breaches.filter(({ rule }) => rule in tables)
  if (wrong.length === 0) return 0
  await rack.change({ label: 'number rows anew' }, async (change) => {
    for (const { rule, id } of wrong) {
      const { table, of } = tables[rule as keyof typeof tables]
      const rows = await change.db
        .selectFrom(table as 'step')
        .select(['id', 'position'])
        .where(of as 'panel_id', '=', id)
        .where('position', 'is not', null)
        .orderBy('position')
        .orderBy('id')
        .execute()
      for (const [position, row] of rows.entries()) {
        if (row.position === position) continue
        await change.update(table as 'step', row.id, { position })
        moved++
      }
    }
  })
  return moved
}
