import type { Kysely } from 'kysely'
import { v7 } from 'uuid'
import { versionOf } from '../opening/migrate.ts'
import type { Tables } from '../tables.ts'
import { knowsAbout } from './about.ts'

/** `label` says what befell the rack: "put back to the backup of …", a moment as ISO 8601: the screen says it in the user's own way. */
export type RackEvent = {
  kind: 'made' | 'migrated' | 'restored' | 'unpacked' | 'copied' | 'repaired'
  label: string
  who: string
}

/** Keeps what befell the rack as a whole. The history shows it among the changes; it cannot be undone. */
export async function noteEvent(db: Kysely<Tables>, { kind, label, who }: RackEvent): Promise<void> {
  // only tests of migrating keep a rack at an older version
  if ((await versionOf(db)) < knowsAbout) return
  const { last } = await db
    .selectFrom('change')
    .select((e) => e.fn.coalesce(e.fn.max('seq'), e.lit(0)).as('last'))
    .executeTakeFirstOrThrow()
  await db
    .insertInto('rack_event')
    .values({ id: v7(), at: new Date().toISOString(), after_seq: last, who, kind, label })
    .execute()
}

/** Empties the history; what is there stays. For a rack that was filled by a program. */
export async function forgetHistory(db: Kysely<Tables>): Promise<void> {
  await db.transaction().execute(async (tx) => {
    await tx.deleteFrom('change').execute()
    await tx.deleteFrom('change_about').execute()
    await tx.updateTable('rack_event').set({ after_seq: 0 }).execute()
  })
}
