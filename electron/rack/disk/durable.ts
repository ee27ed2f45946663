import { randomUUID } from 'node:crypto'
import { type FileHandle, mkdir, open, readdir, rename, rm, stat } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'
import { withRetries } from './with-retries.ts'

/**
 * Makes the names in a folder durable. Windows does not open folders; there NTFS journals names by itself. A file system that
 * does not sync folders, as some on a network, says so: nothing more can be done there.
 */
export async function syncFolder(folder: string): Promise<void> {
  if (process.platform === 'win32') return
  const handle = await open(folder, 'r')
  try {
    await handle.sync().catch((error: { code?: string }) => {
      if (!['EINVAL', 'ENOTSUP', 'EBADF'].includes(error.code ?? '')) throw error
    })
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

/** Also what SQLite had beside a copy that it was making. */
const halfDone = /^\..*\.part(-journal|-wal|-shm)?$/

/** Removes what copies and backups left half done when their process was ended; nobody else may be writing there. */
export async function sweepHalfDone(folder: string): Promise<void> {
  for (const name of await readdir(folder))
    if (halfDone.test(name)) await withRetries(() => rm(join(folder, name), { force: true }))
}

/** As `sweepHalfDone`, where others may be writing: only what is older than any writing takes. */
export async function sweepForgotten(folder: string): Promise<void> {
  for (const name of await readdir(folder)) {
    if (!halfDone.test(name)) continue
    const found = await stat(join(folder, name)).catch(() => null)
    const isOld = found && Math.abs(Date.now() - found.mtimeMs) > forgottenMs
    if (isOld) await withRetries(() => rm(join(folder, name), { force: true }))
  }
}

const forgottenMs = 10 * 60 * 1000

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
    await withRetries(() => rename(temporary, path))
  } catch (error) {
    await withRetries(() => rm(temporary, { force: true }))
    throw error
  }
  await syncFolder(dirname(path))
}
