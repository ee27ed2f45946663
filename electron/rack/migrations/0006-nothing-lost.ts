import { v7 } from 'uuid'
import type { Migration } from '../opening/migrate.ts'

const ownId = "alter table rack_info add column rack_id text not null default ''"

/** When each kept file was last looked through, and what was found, so that a check goes on where it stopped. */
const fileChecks = `create table file_check (
  sha256 text primary key not null,
  checked_at text not null,
  found text not null check (found in ('whole', 'missing', 'damaged'))
) strict, without rowid`

/** A rack gets a name of its own, by which copies of it are known, and remembers which of its files were looked through. */
export const nothingLost: Migration = {
  name: 'nothing lost',
  up: async (run) => {
    await run(ownId)
    await run('update rack_info set rack_id = ?', [v7()])
    await run(fileChecks)
  },
}
