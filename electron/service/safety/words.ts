import type { BackupState, RackCounts } from '../../../shared-core/records/backup.ts'
import type { FollowedUp } from './follow-up.ts'
import type { Copied } from './place-keeper.ts'

const counted = (count: number, one: string, many: string): string => `${count} ${count === 1 ? one : many}`

export const countsInWords = ({ panels, readings, photos }: RackCounts): string =>
  `${counted(panels, 'panel', 'panels')}, ${counted(readings, 'reading', 'readings')}, ${counted(photos, 'photo', 'photos')}`

/** What a backup made by hand came to. */
export function safeInWords({ last }: BackupState, copied: Copied): string {
  const made = last?.facts ? `The backup is whole: ${countsInWords(last.facts.counts)}.` : 'The backup is whole.'
  if (copied.kind === 'whole') return `${made} The second place is up to date.`
  if (copied.kind === 'failed') return `${made} ${copied.why.message} ${copied.why.remedy}`
  return made
}

/** What putting a backup back came to. */
export function putBackInWords(counts: RackCounts | null, { setAside, photos }: FollowedUp): string {
  const parts = [counts ? `The rack is as it was in the backup: ${countsInWords(counts)}.` : 'The backup is in place.']
  if (setAside !== null) parts.push('What was there before is kept among the backups.')
  if (photos.taken > 0)
    parts.push(
      photos.taken === 1
        ? 'One photo that the backup does not know lies in the tray.'
        : `${photos.taken} photos that the backup does not know lie in the tray.`,
    )
  if (photos.unreadable > 0)
    parts.push(`${counted(photos.unreadable, 'file', 'files')} in the photo folder could not be read.`)
  return parts.join(' ')
}
