import { execFile } from 'node:child_process'
import { readFile, realpath, statfs } from 'node:fs/promises'
import { dirname } from 'node:path'
import { promisify } from 'node:util'
import { type FileSystem, fileSystemOf } from './file-system.ts'

const run = promisify(execFile)

/** Where a folder lies, or would lie when it is made. A system that does not answer leaves it unknown. */
export async function findFileSystem(folder: string): Promise<FileSystem> {
  const path = await nearest(folder)
  const [facts, mounts] = await Promise.all([statfs(path).catch(() => null), mountsOf(process.platform)])
  return fileSystemOf({ platform: process.platform, path, type: facts?.type ?? null, mounts })
}

/** The folder, or the nearest above it that is there, links resolved. */
async function nearest(folder: string): Promise<string> {
  for (let path = folder; ; path = dirname(path)) {
    const found = await realpath(path).catch(() => null)
    if (found !== null) return found
    if (dirname(path) === path) return path
  }
}

async function mountsOf(platform: NodeJS.Platform): Promise<string | null> {
  try {
    if (platform === 'linux') return await readFile('/proc/self/mountinfo', 'utf8')
    if (platform === 'darwin') return (await run('/sbin/mount', [], { timeout: 5000 })).stdout
    if (platform === 'win32') return (await run('net', ['use'], { timeout: 5000, windowsHide: true })).stdout
  } catch {
    // without it the path and statfs have to do
  }
  return null
}
