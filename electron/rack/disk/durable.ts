import { randomUUID } from 'node:crypto'
import { type FileHandle, mkdir, open, readdir, rename, rm, stat } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'

/**
 * Makes the names in a folder durable. Windows does not open folders; there NTFS journals names by itself.
 */
export async function syncFolder(folder: string): Promise<void> {
  if (process.platform === 'win32') return
  const handle = await open(folder, 'r')
  try {
    await handle.sync()
  } finally {
    await handle.close()
  }
}

/**
 * Makes a folder and those above it. Not `mkdir` with `recursive`: in a file system that takes no folders (`/proc`) that
 * one never comes back.
 */
export async function makeFolder(folder: string): Promise<void> {
  try {
    await mkdir(folder)
  } catch (error) {
    const code = (error as { code?: string }).code
    if (code === 'EEXIST' && (await stat(folder)).isDirectory()) return
    const above = dirname(folder)
    if (code !== 'ENOENT' || above === folder || (await exists(above))) throw error
    await makeFolder(above)
    await mkdir(folder)
  }
}

const exists = (path: string): Promise<boolean> =>
  stat(path).then(
    () => true,
    () => false,
  )

/** Removes what copies and backups left half done when their process was ended; nobody else may be writing there. */
export async function sweepHalfDone(folder: string): Promise<void> {
  for (const name of await readdir(folder)) if (/^\..*\.part$/.test(name)) await rm(join(folder, name), { force: true })
}

export async function syncFile(path: string): Promise<void> {
  const handle = await open(path, 'r+')
  try {
    await handle.sync()
  } finally {
    await handle.close()
  }
}

/**
 * Writes a file so that after a power cut there is the old one or the new one, whole: a temporary file beside the
 * target, fsync, rename, fsync of the folder.
 */
export async function writeDurably(path: string, write: (handle: FileHandle) => Promise<void>): Promise<void> {
  const temporary = join(dirname(path), `.${basename(path)}.${randomUUID()}.part`)
  try {
    const handle = await open(temporary, 'wx')
    try {
      await write(handle)
      await handle.sync()
    } finally {
      await handle.close()
    }
    await rename(temporary, path)
  } catch (error) {
    await rm(temporary, { force: true })
    throw error
  }
  await syncFolder(dirname(path))
}
