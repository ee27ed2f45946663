import { stat } from 'node:fs/promises'
import type Database from 'better-sqlite3'
import { driveGone, replacedRack } from '../refusals.ts'
import { databaseOf } from './examine.ts'

/**
 * Watches whether the database that is open is still the one that lies in the folder. Programs that keep a folder the same on
 * several computers put another file in its place; what is then written goes into a file that has no name any more.
 */
export type Place = {
  /** @throws Refusal `rack/drive-gone`, `rack/replaced` */
  check(): Promise<void>
  /** To be told after own changes. */
  note(): Promise<void>
}

type Seen = { dev: bigint; ino: bigint; size: bigint; mtimeNs: bigint; written: number }

/** NTFS notes the time of a write when the file is closed; elsewhere it is noted at once. */
const timesTell = process.platform !== 'win32'

export async function watchPlace(folder: string, raw: Database.Database): Promise<Place> {
  const path = databaseOf(folder)
  const count = raw.prepare('select total_changes()').pluck()
  const look = async (): Promise<Seen> => {
    const written = Number(count.get())
    const { dev, ino, size, mtimeNs } = await stat(path, { bigint: true })
    return { dev, ino, size, mtimeNs, written }
  }
  let known = await look()
  /** The log lies beside from the first time that something is read until the rack is closed. */
  let log = await numberOf(`${path}-wal`)
  return {
    check: async () => {
      const [seen, logNow] = await Promise.all([look(), numberOf(`${path}-wal`)]).catch((error: unknown) => {
        throw driveGone(folder, error)
      })
      if (seen.ino !== known.ino || seen.dev !== known.dev || (log !== null && logNow !== log)) throw replacedRack()
      // whatever this connection has written since may have moved the log into the database
      const ownWrites = seen.written !== known.written
      if (timesTell && !ownWrites && (seen.mtimeNs !== known.mtimeNs || seen.size !== known.size)) throw replacedRack()
      known = seen
      log = logNow
    },
    note: async () => {
      const seen = await look().catch(() => null)
      if (seen && seen.ino === known.ino && seen.dev === known.dev) known = seen
    },
  }
}

const numberOf = (path: string): Promise<bigint | null> =>
  stat(path, { bigint: true }).then(
    ({ ino }) => ino,
    (error: { code?: string }) => {
      if (error.code === 'ENOENT') return null
      throw error
    },
  )
