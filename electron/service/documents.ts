import { randomBytes } from 'node:crypto'
import { mkdir, readdir, rm, stat } from 'node:fs/promises'
import { extname, join } from 'node:path'
import { Refusal } from '../../shared-core/contract/refusal.ts'

const keptMs = 24 * 60 * 60 * 1000

/** Drawn and written documents on their way to a printer, a browser or the painter's folders, in a folder of their own. */
export type Documents = {
  /** @returns the id under which the host fetches it */
  add(fileName: string, draw: (path: string) => Promise<void>): Promise<string>
  locate(id: string): { path: string; fileName: string; inside: string }
}

export async function openDocuments(appFolder: string): Promise<Documents> {
  const folder = join(appFolder, 'documents')
  await mkdir(folder, { recursive: true })
  await dropOld(folder)
  const names = new Map<string, string>()
  const pathOf = (id: string, fileName: string) => join(folder, `${id}${extname(fileName)}`)
  return {
    add: async (fileName, draw) => {
      const id = randomBytes(16).toString('hex')
      await draw(pathOf(id, fileName))
      names.set(id, fileName)
      return id
    },
    locate: (id) => {
      const fileName = names.get(id)
      if (fileName === undefined)
        throw new Refusal('document/absent', 'This document is no longer kept.', 'Make it again.')
      return { path: pathOf(id, fileName), fileName, inside: folder }
    },
  }
}

/** Documents of earlier days; another window of the same user may still use younger ones. */
async function dropOld(folder: string): Promise<void> {
  for (const name of await readdir(folder)) {
    const path = join(folder, name)
    const found = await stat(path).catch(() => null)
    if (found && Date.now() - found.mtimeMs > keptMs) await rm(path, { force: true })
  }
}
