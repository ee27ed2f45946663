import { Refusal } from '../../../shared-core/contract/refusal.ts'

/** What can go wrong with backups, in the painter's words. */

export const backupAbsent = (file: string) =>
  new Refusal('backup/absent', `There is no backup ${file} (any more).`, 'Choose another one from the list.')

export const backupDamaged = (file: string, what: string) =>
  new Refusal(
    'backup/damaged',
    `The backup ${file} is damaged: ${what}. Nothing was changed.`,
    'Choose another one. If several are damaged, have the disk looked at, and copy the rack to another one first.',
  )

export const backupNewer = (file: string, theirs: number, ours: number) =>
  new Refusal(
    'backup/newer',
    `The backup ${file} was made by a newer Overground (its form is ${theirs}, this one knows up to ${ours}).`,
    'Install the newer Overground on this computer, or choose an older backup.',
  )

export const noGoodBackup = (folder: string) =>
  new Refusal(
    'backup/none-good',
    `No whole backup lies in ${folder}.`,
    'Choose the folder that holds “backups” and “photos”, or another second place.',
  )

export const lastGoodBackup = () =>
  new Refusal(
    'backup/last-good',
    'This is the only whole backup of the rack. It was kept.',
    'Make another one first, then remove this.',
  )

/** The copy shows what the rack itself has suffered: no good backup can be made of it. */
export const sourceDamaged = (what: string) =>
  new Refusal(
    'rack/damaged',
    `The rack’s records are damaged (${what}), so no good backup can be made of them. Backups made before were kept.`,
    'Use “Check and repair”, or go back to the last whole backup.',
  )
