import { readdir, stat } from 'node:fs/promises'
import { homedir } from 'node:os'
import { dirname, join } from 'node:path'
import type { SyncFacts } from './sync-signs.ts'

/** Originals looked at: a program that leaves stand-ins does so with most of what was not used lately. */
const mostOriginals = 120
const mostAbove = 6

/** What lies in and above a rack's folder, as far as it tells of programs that keep folders the same. */
export async function lookAround(folder: string): Promise<SyncFacts> {
  const names = await readdir(folder)
  const above: string[][] = []
  const home = homedir()
  for (let path = dirname(folder); above.length < mostAbove && path !== home; path = dirname(path)) {
    if (dirname(path) === path) break
    above.push(await readdir(path).catch(() => []))
  }
  return { names, above, originals: await someOriginals(join(folder, 'photos')) }
}

async function someOriginals(photos: string): Promise<SyncFacts['originals'][number][]> {
  const found: SyncFacts['originals'][number][] = []
  for (const shelf of await readdir(photos).catch(() => [])) {
    if (!/^[0-9a-f]{2}$/.test(shelf)) continue
    for (const name of (await readdir(join(photos, shelf)).catch(() => [])).slice(0, 3)) {
      const facts = await stat(join(photos, shelf, name)).catch(() => null)
      // Windows does not count blocks; its own sign of a stand-in cannot be seen from here
      const blocks = process.platform === 'win32' ? null : (facts?.blocks ?? null)
      if (facts?.isFile()) found.push({ name, size: facts.size, blocks })
      if (found.length >= mostOriginals) return found
    }
  }
  return found
}
