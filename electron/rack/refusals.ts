import { Refusal } from '../../shared-core/contract/refusal.ts'

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

export const damagedRack = (folder: string, what: string) =>
  new Refusal(
    'rack/damaged',
    `The rack in ${folder} is damaged: ${what}.`,
    'Copy the whole folder to a safe place first. If its backups folder holds a file: move rack.sqlite, rack.sqlite-wal and rack.sqlite-shm away, all three, then put the newest backup there as rack.sqlite.',
  )

export const alreadyARack = (folder: string) =>
  new Refusal('rack/already-one', `There is a rack in ${folder} already.`, 'Open it, or choose another folder.')

export const folderNotEmpty = (folder: string) =>
  new Refusal(
    'rack/folder-not-empty',
    `There are other files in ${folder}. A rack keeps a folder to itself.`,
    'Choose an empty folder, or a name that is not there yet.',
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

const codeOf = (error: unknown): string => {
  const code = error instanceof Error ? (error as { code?: unknown }).code : undefined
  return typeof code === 'string' ? code : ''
}

/** What the system or SQLite said, as a refusal where it has a plain meaning; otherwise the error itself. */
export function refusalFrom(error: unknown, folder: string): unknown {
  const code = codeOf(error)
  if (code === 'ENOSPC' || code === 'EDQUOT' || code === 'SQLITE_FULL') return diskFull()
  if (code === 'EACCES' || code === 'EPERM' || code === 'EROFS') return readOnlyRack(folder)
  if (code.startsWith('SQLITE_READONLY') || code === 'SQLITE_CANTOPEN' || code === 'SQLITE_PERM')
    return readOnlyRack(folder)
  if (code.startsWith('SQLITE_CORRUPT') || code === 'SQLITE_NOTADB')
    return damagedRack(folder, 'its database cannot be read')
  return error
}

export const isDiskFull = (error: unknown): boolean => ['ENOSPC', 'EDQUOT', 'SQLITE_FULL'].includes(codeOf(error))
