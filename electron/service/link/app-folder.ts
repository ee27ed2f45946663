import { randomUUID } from 'node:crypto'
import { mkdirSync } from 'node:fs'
import { mkdir, readdir, rm, stat, writeFile } from 'node:fs/promises'
import { homedir } from 'node:os'
import { basename, dirname, join, resolve } from 'node:path'

/**
 * The application's own folder: settings, recent racks, files on their way into a rack. The same for the window and the
 * browser, so both know the same racks. It is made when missing, and its path is handed on to the service by OVERGROUND_HOME.
 */
export function appFolder(): string {
  const folder = resolve(process.env.OVERGROUND_HOME || usualFolder())
  mkdirSync(folder, { recursive: true })
  process.env.OVERGROUND_HOME = folder
  // the service works in that folder: what was meant from here is said in full
  if (process.env.OVERGROUND_RACKS) process.env.OVERGROUND_RACKS = resolve(process.env.OVERGROUND_RACKS)
  return folder
}

function usualFolder(): string {
  const home = homedir()
  if (process.platform === 'darwin') return join(home, 'Library', 'Application Support', 'Overground')
  if (process.platform === 'win32') return join(process.env.APPDATA || join(home, 'AppData', 'Roaming'), 'Overground')
  return join(process.env.XDG_CONFIG_HOME || join(home, '.config'), 'overground')
}

/** Files that a page handed over as bytes wait here until they are taken in. */
export const stagingFolder = (home: string) => join(home, 'staging')

/** A new path for such a file, in a folder of its own, so that it keeps the name it came with. */
export async function stagingPath(staging: string, name: string): Promise<string> {
  const folder = join(staging, randomUUID())
  await mkdir(folder, { recursive: true })
  return join(folder, plainName(name))
}

/**
 * Removes a file that was handed over as bytes, with the folder made for it. Any other file is the painter's own and is
 * left alone.
 */
export async function dropStaged(home: string, path: string): Promise<void> {
  const folder = dirname(resolve(path))
  if (dirname(folder) === resolve(stagingFolder(home))) await rm(folder, { recursive: true, force: true })
}

/** A file name that every system takes and that cannot leave its folder; the extension is kept. */
export function plainName(name: string): string {
  const last = basename(name.replaceAll('\\', '/')).normalize('NFC')
  const plain = last.replace(/[\p{Cc}<>:"|?*/]/gu, '_').replace(/^\.+/, '_')
  const tail = /\.[A-Za-z0-9]{1,8}$/.exec(plain)?.[0] ?? ''
  return (plain.slice(0, plain.length - tail.length).slice(0, 60) || 'file') + tail
}

/** Beside a file that an intake counts on: such a file waits as long as its rack stays closed. No file from a page is named so. */
const claim = '.claimed'

/** Keeps a file that came as bytes from being swept, until `dropStaged`. Other files are left alone. */
export async function claimStaged(home: string, path: string): Promise<void> {
  const folder = dirname(resolve(path))
  if (dirname(folder) === resolve(stagingFolder(home))) await writeFile(join(folder, claim), '')
}

const isClaimed = (folder: string): Promise<boolean> =>
  stat(join(folder, claim)).then(
    () => true,
    () => false,
  )

/** Removes what has been waiting for a day and belongs to no intake. */
export async function sweepStaging(staging: string, now = Date.now()): Promise<void> {
  const names = await readdir(staging).catch(() => [])
  for (const name of names) {
    const folder = join(staging, name)
    const facts = await stat(folder).catch(() => undefined)
    const isOld = facts && now - facts.mtimeMs > 24 * 3600 * 1000
    if (isOld && !(await isClaimed(folder))) await rm(folder, { recursive: true, force: true })
  }
}
