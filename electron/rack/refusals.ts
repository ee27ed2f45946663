import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { Access } from '../../shared-core/records/rack.ts'
import { pathTooLong } from './disk/names.ts'

/** What can go wrong with a rack, in the painter's words. */

export const folderAbsent = (folder: string) =>
  new Refusal(
    'rack/folder-absent',
    `There is no folder at ${folder}.`,
    'Check that its drive is connected and that the path is whole, or choose another folder.',
  )

/** A new rack cannot be made there: the path is not whole, or nothing above it can hold a folder. */
export const noFolderMade = (folder: string) =>
  new Refusal(
    'rack/folder-absent',
    `No folder can be made at ${folder}.`,
    'Write the whole path, from the drive or the first / on, in a place where you may keep files.',
  )

export const notARack = (folder: string, why: string) =>
  new Refusal(
    'rack/not-a-rack',
    `${folder} is not a rack: ${why}. Nothing in it was changed.`,
    'Choose the folder that holds rack.sqlite and photos, or make a new rack.',
  )

export const newerRack = (folder: string, theirs: number, ours: number) =>
  new Refusal(
    'rack/newer',
    `The rack in ${folder} was last used by a newer Overground (its form is ${theirs}, this one knows up to ${ours}). Nothing in it was changed.`,
    'Install the newer Overground on this computer, or open an older backup of the rack.',
  )

export const readOnlyRack = (folder: string) =>
  new Refusal(
    'rack/read-only',
    `Nothing can be written in ${folder}. Nothing in it was changed.`,
    'Allow writing to the folder (or unlock the card or drive), or copy the rack to a place of your own and open it there.',
  )

/** @param told what SQLite says of it, for the one who reads the log */
export const damagedRack = (folder: string, what: string, told?: string) => {
  const refusal = new Refusal(
    'rack/damaged',
    `The rack in ${folder} is damaged: ${what}.`,
    'Repair it, or go back to a backup: what is there now is kept beside, and the photos are not touched. To be quite sure copy the whole folder to another drive first.',
  )
  if (told !== undefined) refusal.cause = told
  return refusal
}

/** Photos or backups lie there, and the file that they belong to does not. */
export const recordsGone = (folder: string, remains: readonly string[]) =>
  new Refusal(
    'rack/damaged',
    `The records of the rack in ${folder} are gone: the file rack.sqlite is not there, but its ${remains.join(' and ')} are. Nothing in it was changed.`,
    'If you have moved that file, put it back. Otherwise repair the rack, or go back to a backup: the photos are not touched.',
  )

/** Copies of a rack for a day when its disk has failed. */
export const isSecondPlace = (folder: string) =>
  new Refusal(
    'rack/not-a-rack',
    `${folder} is the second place of a rack: it holds copies of its photos and backups, and nobody works in it. Nothing in it was changed.`,
    'Choose “Make a rack from a second place” and name this folder.',
  )

export const alteredRack = (folder: string) =>
  damagedRack(folder, 'its database is no longer as it was written, its drive has altered it')

export const alreadyARack = (folder: string) =>
  new Refusal('rack/already-one', `There is a rack in ${folder} already.`, 'Open it, or choose another folder.')

export const folderNotEmpty = (folder: string) =>
  new Refusal(
    'rack/folder-not-empty',
    `There are other files in ${folder}. A rack keeps a folder to itself.`,
    'Choose an empty folder, or a name that is not there yet.',
  )

/** @param isSure  false where only nobody says from where the folder comes */
export const onNetwork = (folder: string, isSure: boolean, name: string) =>
  new Refusal(
    isSure ? 'rack/on-network' : 'rack/place-unknown',
    isSure
      ? `${folder} lies on a network (${name}), where several computers may write to it at once. A rack is not safe there.`
      : `${folder} is served by a program (${name}), and nobody says whether it lies on this computer. A rack may not be safe there.`,
    'Keep the rack on this computer’s own drive, and its backups on the network. It can be looked at where it is.',
  )

export const readingOnly = (why: Access['why']) =>
  new Refusal(
    'rack/reading-only',
    why === 'in-use'
      ? 'This rack is only being looked at, because it is open elsewhere. Nothing was changed.'
      : 'This rack is only being looked at where it lies. Nothing was changed.',
    'Copy it to this computer to change it.',
  )

/** @param error what the system said; for the one who reads the log */
export const driveGone = (folder: string, error: unknown) => {
  const refusal = new Refusal(
    'rack/drive-gone',
    `The rack is no longer at ${folder}: its drive was pulled out, or the folder was moved or renamed. Nothing was changed.`,
    'Connect the drive again, or give the folder its name back: then work goes on by itself. If you have moved it, open it where it is now.',
  )
  refusal.cause = error
  return refusal
}

/** The drive is there and does not do what it is asked. */
export const driveFails = (folder: string, error: unknown) => {
  const refusal = new Refusal(
    'rack/drive-gone',
    `The drive that holds ${folder} does not answer as it should. Nothing was changed.`,
    'Check its cable and its power. If it happens again, copy the rack to another drive before anything else.',
  )
  refusal.cause = error
  return refusal
}

export const replacedRack = () =>
  new Refusal(
    'rack/replaced',
    'Another program has put another version of this rack’s records in place of those that are open. Nothing more is written.',
    'Keep both: what is open here is kept as a backup beside, and the rack is opened as it lies there now.',
  )

export const diskFull = () =>
  new Refusal(
    'rack/disk-full',
    'The drive is full. Nothing was left half done.',
    'Make room on the drive that holds the rack, then do it again.',
  )

export const takenOver = () =>
  new Refusal(
    'rack/taken-over',
    'Another Overground has taken over this rack. Nothing was changed.',
    'Close the rack here, and open it again once it is closed there.',
  )

export const rackClosed = () =>
  new Refusal('rack/none-open', 'The rack was closed meanwhile. Nothing was changed.', 'Open it again.')

export const nothingToUndo = () =>
  new Refusal('history/nothing', 'There is nothing to undo.', 'Everything is as it was when the rack was made.')

export const nothingToRedo = () =>
  new Refusal(
    'history/nothing',
    'There is nothing to redo.',
    'A change made after an undo takes the place of what was undone.',
  )

export const conflict = (label: string) =>
  new Refusal(
    'history/conflict',
    `“${label}” cannot be taken back or done again: what it changed is no longer as it left it. Nothing was changed.`,
    'Change it by hand.',
  )

export const codeOf = (error: unknown): string => {
  const code = error instanceof Error ? (error as { code?: unknown }).code : undefined
  return typeof code === 'string' ? code : ''
}

/** What a drive says that is broken, or that was pulled out while it was in use. */
export const failingDrive = /^(EIO|ENXIO|ENODEV|ESTALE|ENOTCONN|EHOSTDOWN|SQLITE_IOERR.*)$/

/** What the system or SQLite said, as a refusal where it has a plain meaning; otherwise the error itself. */
export function refusalFrom(error: unknown, folder: string): unknown {
  const code = codeOf(error)
  if (fullCodes.includes(code)) return diskFull()
  if (code === 'ENAMETOOLONG') return pathTooLong(folder)
  if (code === 'ENOTDIR') return notARack(folder, 'it is a file')
  if (failingDrive.test(code)) return driveFails(folder, error)
  if (code === 'EACCES' || code === 'EPERM' || code === 'EROFS') return readOnlyRack(folder)
  if (code.startsWith('SQLITE_READONLY') || code === 'SQLITE_CANTOPEN' || code === 'SQLITE_PERM')
    return readOnlyRack(folder)
  if (code.startsWith('SQLITE_CORRUPT') || code === 'SQLITE_NOTADB')
    return damagedRack(folder, 'its database cannot be read', `${code}: ${error instanceof Error ? error.message : ''}`)
  return error
}

/** Making the log's index longer fails in this way where there is no room for it. */
const fullCodes = ['ENOSPC', 'EDQUOT', 'SQLITE_FULL', 'SQLITE_IOERR_SHMSIZE']

export const isDiskFull = (error: unknown): boolean => fullCodes.includes(codeOf(error))
