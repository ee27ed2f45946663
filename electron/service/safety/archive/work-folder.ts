import { mkdir, readdir, rm, stat } from 'node:fs/promises'
import { join } from 'node:path'

/** Where copies of records wait while an archive is made, looked at or taken in; on this computer, whatever the rack lies on. */
export const workFolderOf = (appFolder: string): string => join(appFolder, 'archives')

const dayMs = 24 * 60 * 60 * 1000

/** Removes what a service that was ended left there; another one may be at work on what is younger. */
export async function readyWorkFolder(appFolder: string): Promise<string> {
  const folder = workFolderOf(appFolder)
  await mkdir(folder, { recursive: true })
  for (const name of await readdir(folder)) {
    const path = join(folder, name)
    const facts = await stat(path).catch(() => null)
    if (facts && Date.now() - facts.mtimeMs > dayMs) await rm(path, { recursive: true, force: true })
  }
  return folder
}
