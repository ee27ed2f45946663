import { statfs } from 'node:fs/promises'

/** How much may still be written where a folder lies, in bytes; null where the system does not say. */
export async function roomAt(folder: string): Promise<number | null> {
  try {
    // blocks for ordinary users: what is kept back for the administrator does not count
    const { bavail, bsize } = await statfs(folder)
    return bavail * bsize
  } catch {
    return null
  }
}

/** Ten photos of a raw camera, or one day's backup and its working copy of a large rack. Common practice, no source. */
const lowBytes = 500_000_000

/** Whether the drive is soon full: a backup, which takes as much as the database and as much again meanwhile, must still fit. */
export const isLow = (freeBytes: number, databaseBytes: number): boolean =>
  freeBytes < Math.max(lowBytes, 2 * databaseBytes)
