import { readdir } from 'node:fs/promises'
import { join } from 'node:path'
import { backupsOf, isBackupName } from '../backups/facts.ts'

const namesIn = (folder: string): Promise<string[]> => readdir(folder).catch(() => [])

/** What of a rack lies in a folder beside its records. Folders of the same names that are the painter's own do not count. */
export async function remainsOf(folder: string): Promise<('photos' | 'backups')[]> {
  const remains: ('photos' | 'backups')[] = []
  if (await holdsOriginals(join(folder, 'photos'))) remains.push('photos')
  if ((await namesIn(backupsOf(folder))).some(isBackupName)) remains.push('backups')
  return remains
}

/** Originals lie by their hash, each in a folder of its first two digits. */
async function holdsOriginals(photos: string): Promise<boolean> {
  for (const shelf of await namesIn(photos)) {
    if (!/^[0-9a-f]{2}$/.test(shelf)) continue
    if ((await namesIn(join(photos, shelf))).some((name) => /^[0-9a-f]{64}\./.test(name))) return true
  }
  return false
}

/** The note of the seal lies in every rack that was ever opened. */
export const wasSealed = async (folder: string): Promise<boolean> =>
  (await namesIn(backupsOf(folder))).includes('seal.json')
