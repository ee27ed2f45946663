import { createHash } from 'node:crypto'
import { constants } from 'node:fs'
import { type FileHandle, mkdir, open } from 'node:fs/promises'
import { join } from 'node:path'
import { sniff } from '../../shared-core/exchange/read/signature.ts'
import { refusals } from './refusals.ts'

/** A file of which a part lies on the drive, in a folder of its own. */
export const halfIn = (folder: string): string => join(folder, 'part')

/** As it lies there; made where it is missing. */
export async function openHalf(folder: string): Promise<FileHandle> {
  await mkdir(folder, { recursive: true }).catch(unwritable)
  return open(halfIn(folder), constants.O_RDWR | constants.O_CREAT).catch(unwritable)
}

/** As much as tells what a file is. */
export const headBytes = 1024

export async function beginsAsPicture(file: FileHandle): Promise<boolean> {
  const head = new Uint8Array(headBytes)
  const { bytesRead } = await file.read(head, 0, headBytes, 0)
  const kind = sniff(head.subarray(0, bytesRead))
  return kind !== 'unknown' && kind !== 'drawing' && kind !== 'empty'
}

export async function hashOf(file: FileHandle): Promise<string> {
  const hash = createHash('sha256')
  for await (const bytes of file.createReadStream({ start: 0, autoClose: false })) hash.update(bytes as Buffer)
  return hash.digest('hex')
}

/** A name is durable once its folder is; where the system has no such thing (Windows) the file's own sync is all there is. */
export async function syncFolder(path: string): Promise<void> {
  const folder = await open(path, 'r').catch(() => null)
  if (!folder) return
  try {
    await folder.sync().catch(() => undefined)
  } finally {
    await folder.close()
  }
}

export function unwritable(error: NodeJS.ErrnoException): never {
  throw refusals.cannotWrite(error.code ?? error.message)
}
