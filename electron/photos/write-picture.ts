import { randomUUID } from 'node:crypto'
import { readdir, rename, rm, writeFile } from 'node:fs/promises'
import { join } from 'node:path'

/**
 * A reader of `path` sees the old picture or the new one, never half of one. Not fsynced, as it can be made again: after a
 * power cut it may be empty, and whoever looks for it takes an empty one for none.
 */
export async function writePicture(bytes: Uint8Array, path: string): Promise<void> {
  const half = `${path}.${randomUUID()}.part`
  try {
    await writeFile(half, bytes)
    await rename(half, path)
  } catch (error) {
    await rm(half, { force: true })
    throw error
  }
}

/** Removes what pictures left half written when their process was ended; nobody else may be writing there. */
export async function sweepHalfWritten(folder: string): Promise<void> {
  for (const name of await readdir(folder, { recursive: true }))
    if (/\.webp\.[0-9a-f-]{36}\.part$/.test(name)) await rm(join(folder, name), { force: true })
}
