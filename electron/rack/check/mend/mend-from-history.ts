import { fetchRow, type Row } from '../../history/rows.ts'
import type { Rack } from '../../opening/open.ts'
import { type TrackedTable, trackedTables } from '../../tables.ts'
import type { HistoryBreach } from '../exam/history-breaches.ts'
import { mendLabels } from './labels.ts'
import { lastImage } from './last-image.ts'

/** Puts rows back as the last change of them left them, as one change. @returns how many */
export async function mendFromHistory(rack: Rack, breaches: readonly HistoryBreach[]): Promise<number> {
  let mended = 0
  await rack.change({ label: mendLabels.fromHistory }, async (change) => {
    for (const { table: name, id } of breaches) {
      const table = trackedTables.find((one): one is TrackedTable => one === name)
      const wanted = table && (await lastImage(change.db, table, id))
      // what cannot be read: then the row as it stands is all there is
      if (!table || wanted === undefined) continue
      const present = await fetchRow(change.db, table, id)
      try {
        if (wanted === null && present) await change.remove(table, id)
        else if (wanted && present) await change.update(table, id, differing(present, wanted))
        else if (wanted) await change.insert(table, wanted as never)
        mended++
      } catch (error) {
        // what it belongs to is gone, or its code is another's by now
        if (!(error as { code?: string }).code?.startsWith('SQLITE_CONSTRAINT')) throw error
      }
    }
  })
  return mended
}

const differing = (present: Row, wanted: Row): Row =>
  Object.fromEntries(Object.entries(wanted).filter(([name, value]) => name in present && present[name] !== value))
