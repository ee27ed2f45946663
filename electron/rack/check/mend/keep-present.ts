import { CompiledQuery } from 'kysely'
import type { Changing } from '../../history/change.ts'
import { fetchRow, type Row } from '../../history/rows.ts'
import type { Rack } from '../../opening/open.ts'
import { type TrackedTable, trackedTables } from '../../tables.ts'
import type { HistoryBreach } from '../exam/history-breaches.ts'
import { mendLabels } from './labels.ts'
import { lastImage } from './last-image.ts'

/**
 * Keeps rows as they stand where the history has them otherwise: each is brought to what the history has and back again, as one
 * change, so that the history ends with them as they are. @returns how many
 */
export async function keepPresent(rack: Rack, breaches: readonly HistoryBreach[]): Promise<number> {
  let kept = 0
  await rack.change({ label: mendLabels.keepPresent }, async (change) => {
    // what is gone may have belonged to something that is gone too; at the end all is as it was
    await change.db.executeQuery(CompiledQuery.raw('pragma defer_foreign_keys = on'))
    for (const { table, id } of breaches) {
      if (!(trackedTables as readonly string[]).includes(table)) continue
      try {
        await thereAndBack(change, table as TrackedTable, id)
        kept++
      } catch (error) {
        // the history has it in a form that no record may have
        if (!(error as { code?: string }).code?.startsWith('SQLITE_CONSTRAINT')) throw error
      }
    }
  })
  return kept
}

async function thereAndBack(change: Changing, table: TrackedTable, id: string): Promise<void> {
  const present = await fetchRow(change.db, table, id)
  const wanted = await lastImage(change.db, table, id)
  if (wanted === undefined) return
  if (!present) {
    if (!wanted) return
    await change.insert(table, wanted as never)
    await change.remove(table, id)
    return
  }
  // removed in the history: any other image of it will do
  const other = wanted ?? { ...present, ...another(present) }
  const patch = Object.fromEntries(
    Object.entries(other).filter(([name, value]) => name in present && present[name] !== value),
  )
  await change.update(table, id, patch)
  await change.update(table, id, Object.fromEntries(Object.keys(patch).map((name) => [name, present[name] ?? null])))
}

/** One of its texts, written otherwise. */
function another(row: Row): Row {
  const name = ['notes', 'title', 'name'].find((one) => typeof row[one] === 'string')
  return name ? { [name]: `${row[name]} ` } : {}
}
