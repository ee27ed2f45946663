import { chmod, copyFile, stat } from 'node:fs/promises'

/** For whoever made it; on Windows this is the mark “read-only”. */
const writable = 0o200

/**
 * Copies a file to be a file of our own. A copy takes over the rights of what it was copied from, so that one of a file that may
 * only be read could not be written either, and SQLite cannot even lock it.
 */
export async function copyOwn(from: string, to: string): Promise<void> {
  await copyFile(from, to)
  const { mode } = await stat(to)
  // where a drive keeps no rights there is nothing to give
  if ((mode & writable) === 0) await chmod(to, (mode & 0o777) | 0o600)
}
