import { stat } from 'node:fs/promises'
import { join } from 'node:path'
import { sql } from 'kysely'
import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import { backupName, backupsOf, damagedWhy } from '../../backups/facts.ts'
import { syncFile, syncFolder } from '../../disk/durable.ts'
import type { Rack } from '../../opening/open.ts'

/** A backup before records are put right; of records that are not whole, and so give none, a copy that passes for none. */
export async function keepFirst(rack: Rack): Promise<void> {
  try {
    await rack.backUp('before-repair')
  } catch (error) {
    if (!(error instanceof Refusal) || error.code !== 'rack/damaged') throw error
    for (let turn = 1; ; turn++) {
      const path = join(backupsOf(rack.folder), backupName(new Date(), damagedWhy, turn))
      if (await stat(path).catch(() => null)) continue
      await sql`vacuum into ${path}`.execute(rack.db)
      await syncFile(path)
      return syncFolder(backupsOf(rack.folder))
    }
  }
}
