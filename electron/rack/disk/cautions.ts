import type { Caution } from '../../../shared-core/records/photo.ts'
import { isLow } from './room.ts'
import type { SyncSigns } from './sync-signs.ts'

/** What was found where an open rack lies. */
export type PlaceFacts = {
  readonly freeBytes: number | null
  readonly databaseBytes: number
  readonly now: Date
  /** When the last change was made, by the clock of the computer that made it. */
  readonly lastChange: Date | null
  readonly sync: SyncSigns
  /** The painter has said so. */
  readonly keptInSync: boolean
  /** Folders on this computer's list that hold the same rack. */
  readonly twins: readonly string[]
}

/** A clock that is put right by a few hours after travelling is no matter. */
const dayMs = 24 * 60 * 60 * 1000

const day = (date: Date): string => date.toLocaleDateString('en-GB', { day: 'numeric', month: 'long', year: 'numeric' })

const size = (bytes: number): string =>
  bytes < 1e9 ? `${Math.floor(bytes / 1e6)} MB` : `${(bytes / 1e9).toFixed(1)} GB`

const listed = (names: readonly string[]): string =>
  names.length <= 3
    ? names.map((name) => `“${name}”`).join(', ')
    : `“${names[0]}”, “${names[1]}” and ${names.length - 2} more`

/** What threatens a rack where it lies, the most pressing first. */
export function placeCautions(facts: PlaceFacts): Caution[] {
  const { freeBytes, databaseBytes, now, lastChange, sync, keptInSync, twins } = facts
  const cautions: Caution[] = []
  if (freeBytes !== null && isLow(freeBytes, databaseBytes))
    cautions.push({
      code: 'rack/low-space',
      message: `Only ${size(freeBytes)} are free on the drive that holds this rack.`,
      remedy: 'Make room soon: when it is full no photo and no change can be kept. What is kept already is safe.',
    })
  if (sync.conflicts.length > 0)
    cautions.push({
      code: 'rack/conflict-copies',
      message: `Another version of this rack’s records lies beside it: ${listed(sync.conflicts)}.`,
      remedy:
        'Two computers have changed the rack, and a program has kept both. Keep that file: it holds what the other computer changed. Use the rack on one computer at a time, and close it there before you open it here.',
    })
  if (sync.signs.length > 0 || keptInSync)
    cautions.push({
      code: 'rack/synced',
      message: `A program keeps this rack’s folder the same on several computers${keptInSync ? '' : `, it seems (${listed(sync.signs)})`}.`,
      remedy:
        'It may copy the records while they are being written, and two computers can overwrite each other. Keep the rack in a folder of this computer alone, and give the synced folder as the second place of its backups.',
    })
  if (lastChange && lastChange.getTime() - now.getTime() > dayMs)
    cautions.push({
      code: 'rack/clock-behind',
      message: `This computer’s clock says ${day(now)}, but the last change in this rack was made on ${day(lastChange)}.`,
      remedy:
        'Put the clock right: days of panels, ages of paint and backups go by it. The order of changes does not, and nothing is lost.',
    })
  if (twins.length > 0)
    cautions.push({
      code: 'rack/same-twice',
      message: `This rack also lies in ${listed(twins)}: ${twins.length === 1 ? 'one is a copy of the other' : 'they are copies of one rack'}.`,
      remedy: `What is changed in one is not changed in the other${twins.length === 1 ? '' : 's'}. Go on with one of them; what ${twins.length === 1 ? 'the other has' : 'the others have'} more can be taken in under “Archive and exchange”.`,
    })
  return cautions
}
