import { open, rm } from 'node:fs/promises'
import type { IncomingMessage } from 'node:http'
import { dirname } from 'node:path'
import { type BodyLimit, pieces } from '../http/bodies.ts'
import { stagingPath } from '../service/link/app-folder.ts'
import { refusals } from './refusals.ts'

/**
 * Writes a request's body to a new file of the staging folder, piece by piece.
 * @returns the file's path; nothing stays behind when the body is refused, breaks off or cannot be written
 */
export async function takeUpload(
  request: IncomingMessage,
  staging: string,
  name: string,
  limit: BodyLimit,
): Promise<string> {
  let path: string | undefined
  try {
    path = await stagingPath(staging, name).catch(unwritable)
    const file = await open(path, 'wx', 0o600).catch(unwritable)
    try {
      for await (const piece of pieces(request, limit)) await file.writeFile(piece).catch(unwritable)
    } finally {
      await file.close()
    }
    return path
  } catch (error) {
    if (path !== undefined) await rm(dirname(path), { recursive: true, force: true })
    throw error
  }
}

function unwritable(error: NodeJS.ErrnoException): never {
  throw refusals.cannotWrite(error.code ?? error.message)
}
