import { rm, stat } from 'node:fs/promises'
import Database from 'better-sqlite3'

const everyMs = 15
const limitMs = 10_000

/**
 * One process after the other: whoever comes second waits. Held by the system's own locks, by way of SQLite, so that a process
 * that ends gives it back whatever ends it.
 * @param path  of a file that is there only meanwhile
 * @throws when the turn does not come within ten seconds
 */
export async function inTurnOf<T>(path: string, work: () => Promise<T>): Promise<T> {
  for (const end = Date.now() + limitMs; ; await new Promise((resolve) => setTimeout(resolve, everyMs))) {
    const turn = new Database(path, { timeout: 0 })
    let isMine = false
    try {
      turn.exec('begin exclusive')
      // one who had the turn removes its file: then this is no turn any more
      isMine = await isThere(path)
      if (isMine) return await work()
    } catch (error) {
      if (!isBusy(error) || Date.now() > end) throw error
      continue
    } finally {
      if (isMine) await rm(path, { force: true })
      turn.close()
    }
  }
}

const isBusy = (error: unknown): boolean =>
  error instanceof Database.SqliteError && (error.code === 'SQLITE_BUSY' || error.code === 'SQLITE_IOERR_FSTAT')

const isThere = (path: string): Promise<boolean> =>
  stat(path).then(
    () => true,
    () => false,
  )
