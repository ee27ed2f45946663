import type { RepairPlan, RepairWay } from '../../../../shared-core/records/check.ts'
import type { TakenUnknown } from '../unknown-photos.ts'
import { counted } from './report/words.ts'

type Repaired = {
  way: RepairWay
  plan: RepairPlan
  setAside: string | null
  /** What could be read of the damaged file and was not taken. */
  kept: string | null
  photos: TakenUnknown
}

/** Moments stand as ISO 8601: the screen says them in the user's own way. What a repair came to: what was recovered from where, as of when, and what is lost. */
export function repairedInWords({ way, setAside, kept, photos }: Repaired): string {
  const counts = `${counted(way.panels, 'panel')}, ${counted(way.readings, 'reading')}, ${counted(way.photos, 'photo')}`
  const parts = [`The rack is open again, ${began(way)}: ${counts}. ${way.says}`]
  if (way.from === 'salvage' && way.latestAt !== null) parts.push(`The newest thing in it is of ${way.latestAt}.`)
  if (kept !== null)
    parts.push(`What could be read of the damaged file, and may be newer, is kept among the backups as ${kept}.`)
  if (setAside !== null) parts.push(`The damaged file is kept among the backups as ${setAside}.`)
  if (photos.taken > 0)
    parts.push(
      `${counted(photos.taken, 'photo')} that the records do not know ${photos.taken === 1 ? 'lies' : 'lie'} in the tray.`,
    )
  if (photos.unreadable > 0) parts.push(`${counted(photos.unreadable, 'file')} in the photo folder could not be read.`)
  return parts.join(' ')
}

function began({ from, madeAt }: RepairWay): string {
  if (from === 'backup') return `as in the backup of ${madeAt ?? ''}`
  if (from === 'itself') return 'with its own records'
  return from === 'salvage' ? 'with what can be read of the damaged file' : 'begun anew'
}
