import { homedir } from 'node:os'
import { join, resolve } from 'node:path'
import { folderName } from '../../rack/disk/names.ts'
import { canRead } from '../../rack/moving/rack-named.ts'

/**
 * What a painter types: `~` is the home folder, a closing slash means nothing, and neither do blanks at the ends, unless a folder
 * is really called so. A path must be whole.
 */
export async function wholePath(typed: string): Promise<string> {
  const folder = typed !== typed.trim() && !(await canRead(typed)) ? typed.trim() : typed
  const path = folder === '~' || /^~[/\\]/.test(folder) ? join(homedir(), folder.slice(1)) : folder
  // a path that is not whole is left as it is: opening refuses it
  return resolve(path) === path || !/^([/\\]|[A-Za-z]:)/.test(path) ? path : resolve(path)
}

/** A folder for a new rack of this name that is not there yet: in `OVERGROUND_RACKS`, else among the user's documents. */
export async function suggestFolder(name: string, exists: (path: string) => Promise<boolean>) {
  const base = process.env.OVERGROUND_RACKS || (await documentsFolder(exists))
  const stem = join(base, folderName(name))
  if (!(await exists(stem))) return stem
  for (let count = 2; ; count++) if (!(await exists(`${stem} ${count}`))) return `${stem} ${count}`
}

async function documentsFolder(exists: (path: string) => Promise<boolean>): Promise<string> {
  const documents = join(homedir(), 'Documents')
  return join((await exists(documents)) ? documents : homedir(), 'Overground')
}
