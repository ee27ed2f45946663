import Database from 'better-sqlite3'
import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import { carriedOver } from './carried-over.ts'
import { compare } from './compare.ts'
import { count, Damaged, hashOf, lookThrough, mustHoldSame, openToRead } from './read-database.ts'
import type { TaskAsk, Tasks } from './tasks.ts'

type Telling = { onProgress: (done: number, total: number) => void }

export async function perform({ name, ask }: TaskAsk, telling: Telling): Promise<unknown> {
  switch (name) {
    case 'copy':
      return copy(ask, telling)
    case 'prove':
      return prove(ask)
    case 'hash':
      return hashOf(ask.path, telling.onProgress)
    case 'compare':
      return compare(ask.rack, ask.backup)
    case 'carriedOver':
      return carriedOver(ask.path)
  }
}

/** Pages copied between two reports: a few milliseconds. */
const pagesAtOnce = 500

/**
 * One read transaction sees one state, whatever is written meanwhile: rows are counted and pages copied in it.
 * Source: SQLite, Online Backup API, "Concurrent Usage of Database Connections"; "Isolation In SQLite" (WAL mode).
 */
async function copy({ from, to }: { from: string; to: string }, { onProgress }: Telling) {
  const source = openToRead(from)
  let held: ReturnType<typeof count>
  try {
    const pageBytes = Number(source.pragma('page_size', { simple: true }))
    source.exec('begin')
    held = count(source)
    await source.backup(to, {
      progress: ({ totalPages, remainingPages }) => {
        onProgress((totalPages - remainingPages) * pageBytes, totalPages * pageBytes)
        return pagesAtOnce
      },
    })
    source.exec('commit')
  } finally {
    source.close()
  }
  const made = new Database(to)
  try {
    // by itself: without a log beside it, it can be read from a drive that takes no writing
    made.pragma('journal_mode = delete')
    lookThrough(made)
    mustHoldSame(count(made), held)
  } finally {
    made.close()
  }
  return { ...held, ...hashOf(to) }
}

async function prove({ path, sha256, isStrange }: Tasks['prove']['ask']) {
  // first its bytes: to open what is not the backup that was made would teach nothing
  const bytes = hashOf(path)
  if (sha256 !== null && bytes.sha256 !== sha256) throw new Damaged('its bytes are not those that were written')
  if (isStrange) {
    // only then is all of that loaded
    const { proveRecords } = await import('../../archive/proof/prove-records.ts')
    await proveRecords(path).catch((error: unknown) => {
      throw error instanceof Refusal ? new Damaged(error.message) : error
    })
  }
  const raw = openToRead(path)
  try {
    lookThrough(raw)
    return { ...count(raw), ...bytes }
  } finally {
    raw.close()
  }
}
