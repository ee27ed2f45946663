import type { Kysely } from 'kysely'
import { versionOf } from '../../opening/migrate.ts'
import type { Tables } from '../../tables.ts'
import { refreshWords } from '../words.ts'
import { refreshRows } from './panel-rows.ts'

/** The first version that has `panel_row`; only tests of migrating keep a rack at an older one. */
const hasRows = 5

/** Writes anew everything that is derived from what was changed. */
export async function refreshDerived(db: Kysely<Tables>): Promise<void> {
  await refreshWords(db)
  if ((await versionOf(db)) >= hasRows) await refreshRows(db)
}
