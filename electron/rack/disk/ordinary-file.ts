import { constants } from 'node:fs'
import { type FileHandle, open } from 'node:fs/promises'

/** What stands in the place of a file and is none: a folder, a pipe, a device. `code` as the system's own errors have one. */
export class NoOrdinaryFile extends Error {
  readonly code = 'ENOTFILE'
}

/** Opening a pipe to read would wait until somebody writes, and keep one of the few threads that work on files. Windows knows no such flag. */
const withoutWaiting = constants.O_RDONLY | (constants.O_NONBLOCK ?? 0)

/**
 * Opens a file that somebody chose, to read it; what is no ordinary file is refused unread. A link to one is as good as the file.
 * @throws NoOrdinaryFile, or the system's own error
 */
export async function openOrdinary(path: string): Promise<FileHandle> {
  const file = await open(path, withoutWaiting)
  try {
    if ((await file.stat()).isFile()) return file
  } catch (error) {
    await file.close()
    throw error
  }
  await file.close()
  throw new NoOrdinaryFile('This is no ordinary file.')
}
