import { rm } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import Database from 'better-sqlite3'
import { syncFolder } from '../disk/durable.ts'
import { withRetries } from '../disk/with-retries.ts'
import type { Rack } from '../opening/open.ts'
import { type Amount, removable } from './walk.ts'

/** Removes what can be made again and belongs to nothing, or what was left half done. */
export async function clearAway(rack: Rack, what: 'pictures' | 'half-done'): Promise<Amount> {
  await rack.verify()
  const removed: Amount = { count: 0, byteCount: 0 }
  const raw = new Database(join(rack.folder, 'rack.sqlite'), { readonly: true })
  try {
    // listed before the first goes: a folder is not read while it changes
    const files = Array.from(removable(rack.folder, raw, what))
    for (const { path, byteCount } of files) {
      const whole = join(rack.folder, ...path.split('/'))
      await withRetries(() => rm(whole, { force: true }))
      await syncFolder(dirname(whole)).catch(() => undefined)
      removed.count++
      removed.byteCount += byteCount
    }
  } finally {
    raw.close()
  }
  return removed
}
