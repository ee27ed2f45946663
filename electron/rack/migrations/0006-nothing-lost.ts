import { v7 } from 'uuid'
import type { Migration } from '../opening/migrate.ts'
import { checks } from './0006-checks.ts'
import { history } from './0006-history.ts'

const ownId = "alter table rack_info add column rack_id text not null default ''"

/**
 * A rack gets a name of its own, by which copies of it are known, remembers which of its files were looked through, and
 * knows of every change which panels it was about and what it was made upon.
 */
export const nothingLost: Migration = {
  name: 'nothing lost',
  up: async (run) => {
    await run(ownId)
    await run('update rack_info set rack_id = ?', [v7()])
    for (const statement of [...checks, ...history]) await run(statement)
  },
}
