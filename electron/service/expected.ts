import { stat } from 'node:fs/promises'
import { join } from 'node:path'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { roomAt } from '../rack/disk/room.ts'
import type { Rack } from '../rack/opening/open.ts'
import { codeOf, diskFull, driveFails, driveGone, failingDrive, isDiskFull } from '../rack/refusals.ts'

/** What a drive without room says in more roundabout ways than that it is full. */
const noRoomBytes = 1_000_000

/**
 * What was thrown while a rack is open, as the refusal that it stands for: a full drive, one that was pulled out, one that fails.
 * Anything else is given back as it is.
 */
export async function expectedFrom(error: unknown, rack: Rack | null): Promise<unknown> {
  if (error instanceof Refusal) return error
  if (isDiskFull(error)) return diskFull()
  const code = codeOf(error)
  const isTheDrive = failingDrive.test(code)
  if (!rack || !(isTheDrive || /^(ENOENT|ENOTDIR|EACCES|SQLITE_CANTOPEN|SQLITE_READONLY_DBMOVED)$/.test(code)))
    return error
  const isThere = await stat(join(rack.folder, 'rack.sqlite')).then(
    () => true,
    () => false,
  )
  if (!isThere) return driveGone(rack.folder, error)
  if (!isTheDrive) return error
  const free = await roomAt(rack.folder)
  return free !== null && free < noRoomBytes ? diskFull() : driveFails(rack.folder, error)
}
