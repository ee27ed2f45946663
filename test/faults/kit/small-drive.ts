import { spawnSync } from 'node:child_process'
import { mkdirSync, rmSync, statfsSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'

/** A drive of its own that can be filled up to the last page. */
export type SmallDrive = {
  folder: string
  /** Leaves so many bytes free, in whole pages. */
  fillTo(left: number): void
  clear(): void
  remove(): void
}

/** @returns null where this user may not mount one: then nothing of this can be shown here */
export function smallDrive(folder: string, bytes: number): SmallDrive | null {
  mkdirSync(folder, { recursive: true })
  if (process.platform !== 'linux') return null
  const mounted = spawnSync('mount', ['-t', 'tmpfs', '-o', `size=${bytes},mode=0755`, 'tmpfs', folder])
  if (mounted.status !== 0) return null
  const filler = join(folder, 'filler')
  const free = () => {
    const { bavail, bsize } = statfsSync(folder)
    return bavail * bsize
  }
  return {
    folder,
    fillTo: (left) => {
      rmSync(filler, { force: true })
      const size = free() - left
      try {
        if (size > 0) writeFileSync(filler, Buffer.alloc(size, 0x55))
      } catch (error) {
        // somebody was quicker: then it is full
        if ((error as { code?: string }).code !== 'ENOSPC') throw error
      }
    },
    clear: () => rmSync(filler, { force: true }),
    remove: () => {
      spawnSync('umount', ['-l', folder])
      rmSync(folder, { recursive: true, force: true, maxRetries: 3 })
    },
  }
}
