import { Refusal } from '../../../shared-core/contract/refusal.ts'

/** What can be wrong with an archive or with another rack, in the painter's words. */

const again = 'Copy the file again from where it came from, or have a new archive made.'
const stranger = 'Do not open it. Ask whoever gave it to you for an archive made by Overground.'

export const archiveAbsent = (path: string) =>
  new Refusal(
    'archive/absent',
    `There is no file at ${path}.`,
    'Check that its drive is connected, or choose another file.',
  )

export const archiveUnreadable = (path: string) =>
  new Refusal(
    'archive/unreadable',
    `${path} could not be read to its end.`,
    'Check that its drive is still connected, then try again.',
  )

/** Not an archive at all. */
export const notAnArchive = (why: string) =>
  new Refusal(
    'archive/not-one',
    `This file is no archive of a rack: ${why}.`,
    'Choose a file whose name ends in .overground.zip, as “Make an archive” writes it.',
  )

/** Cut off, altered on the way. */
export const archiveDamaged = (what: string) =>
  new Refusal('archive/damaged', `The archive is damaged: ${what}. Nothing was unpacked.`, again)

/** Put together so that it could do harm, or by another program in another way. */
export const archiveSuspicious = (what: string) =>
  new Refusal(
    'archive/suspicious',
    `This archive is not put together as Overground does it: ${what}. Nothing was unpacked.`,
    stranger,
  )

export const archiveNewer = (theirs: number, ours: number) =>
  new Refusal(
    'archive/newer',
    `The archive was made by a newer Overground (its form is ${theirs}, this one knows up to ${ours}).`,
    'Install the newer Overground on this computer, or have an archive made by this version.',
  )

export const recordsNewer = (theirs: number, ours: number) =>
  new Refusal(
    'archive/newer',
    `The records in it were written by a newer Overground (their form is ${theirs}, this one knows up to ${ours}).`,
    'Install the newer Overground on this computer.',
  )

export const recordsSuspicious = (what: string) =>
  new Refusal(
    'archive/suspicious',
    `The records in it are not as Overground writes them: ${what}. Nothing was taken from it.`,
    stranger,
  )

export const recordsDamaged = (what: string) =>
  new Refusal('archive/damaged', `The records in it are damaged: ${what}. Nothing was taken from it.`, again)

export const noRoom = (where: string, needed: number, free: number) =>
  new Refusal(
    'archive/no-room',
    `There is not enough room in ${where}: ${inWords(needed)} are needed, ${inWords(free)} are free. Nothing was written.`,
    'Choose another disk, or make room there.',
  )

/** The system's word on a file that was being written, in a painter's. */
export function targetFailed(error: unknown, folder: string): unknown {
  const code = (error as { code?: string }).code ?? ''
  if (code === 'ENOSPC' || code === 'EDQUOT')
    return new Refusal(
      'archive/no-room',
      `The disk of ${folder} is full. Nothing was left half done.`,
      'Choose another disk, or make room there.',
    )
  if (code === 'EFBIG')
    return new Refusal(
      'archive/no-room',
      `The disk of ${folder} takes no file of this size. Nothing was left there.`,
      'Choose another disk, or have this one formatted anew: some forms take no file above 4 GB.',
    )
  if (code === 'EACCES' || code === 'EPERM' || code === 'EROFS')
    return new Refusal('archive/bad-target', `Nothing can be written in ${folder}.`, 'Choose another folder.')
  if (code === 'EIO' || code === 'ENXIO' || code === 'ENODEV' || code === 'ESTALE')
    return new Refusal(
      'archive/bad-target',
      `The disk of ${folder} stopped answering. There is no archive.`,
      'Check that it is still connected, then do it again.',
    )
  return error
}

/** An original that could be listed, but not read. */
export const sourceFailed = (what: string) =>
  new Refusal(
    'archive/unreadable',
    `${what.charAt(0).toUpperCase()}${what.slice(1)} could not be read. There is no archive.`,
    'Look through the rack under Check and repair, then do it again.',
  )

export const targetExists = (path: string) =>
  new Refusal(
    'archive/target-exists',
    `There is a file at ${path} already. It was left as it is.`,
    'Choose another name.',
  )

export const badTarget = (why: string) =>
  new Refusal(
    'archive/bad-target',
    why,
    'Write the whole path, from the drive or the first / on, ending in .overground.zip.',
  )

export const archiveChanged = () =>
  new Refusal(
    'archive/changed',
    'What was looked at has changed meanwhile. Nothing was taken in.',
    'Look at it once more.',
  )

export const itself = () =>
  new Refusal('archive/itself', 'This is the rack that is open here.', 'Choose another rack’s folder, or an archive.')

export const inUse = (words: string) =>
  new Refusal(
    'rack/locked',
    words,
    'Close that rack there first, or have an archive made of it: an archive can be taken in at any time.',
  )

export function inWords(bytes: number): string {
  const units = ['bytes', 'kB', 'MB', 'GB', 'TB']
  let [value, unit] = [bytes, 0]
  while (value >= 1000 && unit < units.length - 1) [value, unit] = [value / 1000, unit + 1]
  return `${unit === 0 ? value : value >= 100 ? Math.round(value) : Math.round(value * 10) / 10} ${units[unit]}`
}
