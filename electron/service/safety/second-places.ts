import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { z } from 'zod'
import { writeDurably } from '../../rack/disk/durable.ts'

/** Where this computer keeps second copies, by the racks' own ids: another computer has other disks. */

const Kept = z.object({
  /** What the painter chose, and the folder in it that holds the copies. */
  chosen: z.string(),
  folder: z.string(),
  placeId: z.string(),
  /** What was true of it when it was last seen. */
  wholeAt: z.string().nullable(),
  revision: z.int().nullable(),
  files: z.int(),
  byteCount: z.int(),
})
export type KeptPlace = z.infer<typeof Kept>
const All = z.record(z.string(), Kept)

export type SecondPlaces = {
  get(rackId: string): KeptPlace | null
  set(rackId: string, place: KeptPlace | null): Promise<void>
}

export async function openSecondPlaces(appFolder: string): Promise<SecondPlaces> {
  const path = join(appFolder, 'second-places.json')
  let all = await readAll(path)
  return {
    get: (rackId) => all[rackId] ?? null,
    set: async (rackId, place) => {
      const { [rackId]: _, ...others } = all
      const wanted = place ? { ...others, [rackId]: place } : others
      await writeDurably(path, (handle) => handle.writeFile(`${JSON.stringify(wanted, null, 2)}\n`))
      all = wanted
    },
  }
}

async function readAll(path: string): Promise<z.infer<typeof All>> {
  try {
    return All.parse(JSON.parse(await readFile(path, 'utf8')))
  } catch (error) {
    // a list that makes no sense is no reason not to start: the places are chosen again
    if ((error as { code?: string }).code !== 'ENOENT') console.error(`${path} makes no sense and is left out:`, error)
    return {}
  }
}
