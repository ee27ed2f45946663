import { openToRead } from './read-database.ts'
import type { CarriedOver } from './tasks.ts'

/** Reads what the records that were set aside know, and those put back do not. */
export function carriedOver(path: string): CarriedOver {
  const raw = openToRead(path)
  try {
    const info = raw.prepare('select * from rack_info').get() as Record<string, unknown>
    const number = (name: string) => (typeof info[name] === 'number' ? info[name] : 0)
    const rows = raw.prepare('select sha256, name, added_at, deleted_at from photo').all() as {
      sha256: string
      name: string
      added_at: string
      deleted_at: string | null
    }[]
    return {
      rackId: typeof info.rack_id === 'string' ? info.rack_id : '',
      revision: number('revision'),
      nextCode: number('next_code'),
      nextCup: number('next_cup'),
      nextJob: number('next_job'),
      photos: rows.map(({ sha256, name, added_at, deleted_at }) => ({
        sha256,
        name,
        addedAt: added_at,
        inTrash: deleted_at !== null,
      })),
    }
  } finally {
    raw.close()
  }
}
