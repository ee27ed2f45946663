import { readdir } from 'node:fs/promises'
import { homedir } from 'node:os'
import { dirname, join } from 'node:path'
import { isSameFolder, type RackNamed, rackNamed } from './rack-named.ts'

/** Folders looked into, and how deep below each place: a drive is not searched from end to end. */
const mostFolders = 3000
const deepest = 3

/** Where drives appear: Linux, macOS. On Windows each letter is looked at. */
const drives = (): string[] =>
  process.platform === 'win32'
    ? Array.from({ length: 24 }, (_, i) => `${String.fromCharCode(67 + i)}:\\`)
    : ['/media', '/run/media', '/mnt', '/Volumes']

/**
 * Looks for a rack that is no longer where it was: beside its old place, in the home folder, on drives, and in the places given.
 * @param rackId   its own name; a rack that was only called the same is another
 * @param also     folders in which other racks lie
 * @param open     the rack that is open: its database is not to be read past SQLite, whose locks that would free
 */
export async function findMoved(
  folder: string,
  rackId: string,
  also: readonly string[],
  open: string | null = null,
): Promise<RackNamed[]> {
  const near = [dirname(folder), dirname(dirname(folder))]
  const places = [...near, ...also, join(homedir(), 'Documents'), homedir(), ...drives()]
  const seen = new Set<string>([folder])
  const matches = async (place: string): Promise<RackNamed | null> => {
    if (open !== null && (await isSameFolder(open, place))) return null
    const named = await rackNamed(place)
    return named?.rackId === rackId ? named : null
  }
  // nearest first, and no farther than where it is found: large racks take a while to be read
  for (const place of new Set(places)) {
    const found = await lookIn(place, seen, matches)
    if (found.length > 0) return found
  }
  return []
}

async function lookIn(
  place: string,
  seen: Set<string>,
  matches: (folder: string) => Promise<RackNamed | null>,
): Promise<RackNamed[]> {
  const found: RackNamed[] = []
  let layer = [place]
  for (let depth = 0; depth <= deepest && layer.length > 0; depth++) {
    const next: string[] = []
    for (const folder of layer) {
      if (seen.has(folder) || seen.size > mostFolders) continue
      seen.add(folder)
      const entries = await readdir(folder, { withFileTypes: true }).catch(() => [])
      if (entries.some((entry) => entry.name === 'rack.sqlite')) {
        const named = await matches(folder)
        if (named) found.push(named)
        // nothing of interest lies inside a rack
        continue
      }
      for (const entry of entries)
        if (entry.isDirectory() && !/^(\.|node_modules$)/.test(entry.name)) next.push(join(folder, entry.name))
    }
    layer = next
  }
  return found
}
