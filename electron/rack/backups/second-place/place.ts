import { readdir, realpath, stat } from 'node:fs/promises'
import { join, relative, sep } from 'node:path'
import { v7 } from 'uuid'
import { z } from 'zod'
import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import { makeFolder, writeDurably } from '../../disk/durable.ts'
import { readSmallJson } from '../small-file.ts'

/**
 * A second place holds a rack's photos, data sheets and backups in folders of the same names as the rack has, and no `rack.sqlite`:
 * nobody opens it and works in it by mistake, and with one of its backups copied beside them as `rack.sqlite` it is a rack.
 */
export const Marker = z.object({
  /** Whose copies lie here. */
  rackId: z.string(),
  rackName: z.string(),
  /** A place of its own: a folder that is empty because a drive is missing is not taken for it. */
  placeId: z.string(),
  /** When everything was here last, and which change of the rack that was. */
  wholeAt: z.string().nullable(),
  revision: z.int().nullable(),
  files: z.int(),
  byteCount: z.int(),
})
export type Marker = z.infer<typeof Marker>

export const markerName = 'second-place.json'
const readMe = `Copies of an Overground rack, kept by Overground itself.

photos and data-sheets hold the originals, backups the records. Nothing here is ever changed once it has its name.

To get the rack back: in Overground, choose “Make a rack from a second place” and name this folder.
By hand: copy this whole folder to another place, and copy the newest file of its “backups” beside “photos” as rack.sqlite.
Do not work in this folder itself, and do not rename what is in it.
`

export const readMarker = async (folder: string): Promise<Marker | null> => {
  try {
    return Marker.parse(await readSmallJson(join(folder, markerName)))
  } catch {
    return null
  }
}

export const writeMarker = (folder: string, marker: Marker): Promise<void> =>
  writeDurably(join(folder, markerName), (handle) => handle.writeFile(`${JSON.stringify(marker, null, 2)}\n`))

/** Whose copies: the rack as it is open. */
export type Whose = { folder: string; rackId: string; rackName: string }

/**
 * Makes a folder of its own for the copies in the folder that was chosen, or finds the one that is there.
 * @throws Refusal `second-place/absent`, `second-place/inside-rack`, `second-place/is-a-rack`, `second-place/of-another-rack`,
 *   `second-place/not-writable`
 */
export async function foundPlace(chosen: string, whose: Whose): Promise<{ folder: string; marker: Marker }> {
  const real = await realpath(chosen).catch(() => null)
  if (real === null || !(await stat(real)).isDirectory()) throw noSuchFolder(chosen)
  await mustLieOutside(real, whose.folder, chosen)
  if ((await readdir(real)).includes('rack.sqlite')) throw placeIsRack(chosen)
  const own = await readMarker(real)
  if (own && own.rackId !== whose.rackId) throw placeOfAnother(chosen, own.rackName)
  if (own) return { folder: chosen, marker: own }
  for (let turn = 1; ; turn++) {
    const folder = join(chosen, folderName(whose.rackName, turn))
    const found = await readMarker(folder)
    if (found?.rackId === whose.rackId) return { folder, marker: found }
    if (found || (await readdir(folder).catch(() => [])).length > 0) continue
    return { folder, marker: await begin(folder, whose) }
  }
}

async function begin(folder: string, { rackId, rackName }: Whose): Promise<Marker> {
  const marker: Marker = { rackId, rackName, placeId: v7(), wholeAt: null, revision: null, files: 0, byteCount: 0 }
  try {
    await makeFolder(folder)
    for (const name of ['photos', 'data-sheets', 'backups']) await makeFolder(join(folder, name))
    await writeDurably(join(folder, 'READ ME.txt'), (handle) => handle.writeFile(readMe))
    await writeMarker(folder, marker)
  } catch (error) {
    const code = (error as { code?: string }).code ?? ''
    if (['EACCES', 'EPERM', 'EROFS', 'ENOENT', 'ENOTDIR'].includes(code)) throw placeNotWritable(folder)
    throw error
  }
  return marker
}

/** Characters that some system does not allow in a name go. */
function folderName(rackName: string, turn: number): string {
  const clean = rackName
    .replaceAll(/[<>:"/\\|?*\p{Cc}]/gu, ' ')
    .replaceAll(/\s+/g, ' ')
    .replaceAll(/^[. ]+|[. ]+$/g, '')
    .slice(0, 80)
  return `${clean === '' ? 'Rack' : clean} second place${turn === 1 ? '' : ` ${turn}`}`
}

async function mustLieOutside(place: string, rackFolder: string, chosen: string): Promise<void> {
  const rack = await realpath(rackFolder)
  const inside = relative(rack, place)
  const isInside =
    inside === '' || (inside !== '..' && !inside.startsWith(`..${sep}`) && !/^([/\\]|[A-Za-z]:)/.test(inside))
  if (isInside)
    throw new Refusal(
      'second-place/inside-rack',
      `${chosen} lies in the rack’s own folder, and would be lost with it.`,
      'Choose a folder on another disk, or one that is kept in step with another computer.',
    )
}

/** Whether two folders lie on one disk, as far as the system tells. */
export async function onSameDisk(a: string, b: string): Promise<boolean> {
  const [one, other] = await Promise.all([stat(a).catch(() => null), stat(b).catch(() => null)])
  return one !== null && other !== null && one.dev === other.dev
}

export const placeAbsent = () =>
  new Refusal(
    'second-place/absent',
    'The second place is not there now.',
    'Connect its drive, or wait until its folder is back: copying goes on by itself.',
  )

const noSuchFolder = (folder: string) =>
  new Refusal(
    'second-place/absent',
    `There is no folder at ${folder}.`,
    'Connect its drive, or write the whole path of a folder that is there.',
  )

const placeIsRack = (folder: string) =>
  new Refusal(
    'second-place/is-a-rack',
    `${folder} is a rack itself.`,
    'Choose the folder that it lies in, or another one: copies get a folder of their own.',
  )

const placeOfAnother = (folder: string, name: string) =>
  new Refusal(
    'second-place/of-another-rack',
    `${folder} holds the copies of another rack, “${name}”.`,
    'Choose the folder that it lies in: each rack gets a folder of its own there.',
  )

export const placeNotWritable = (folder: string) =>
  new Refusal(
    'second-place/not-writable',
    `Nothing can be written at ${folder}.`,
    'Choose a folder in which you may keep files.',
  )

export const placeFull = (needed: number, free: number | null) =>
  new Refusal(
    'second-place/full',
    free === null
      ? 'The second place is full. What was copied is whole, the rest is missing there.'
      : `The second place has room for ${inWords(free)}, and ${inWords(needed)} are missing there.`,
    'Make room there, or choose a larger disk: copying goes on where it stopped.',
  )

const inWords = (bytes: number): string => {
  if (bytes < 1e6) return `${Math.ceil(bytes / 1e3)} kB`
  return bytes < 1e10 ? `${Math.ceil(bytes / 1e6)} MB` : `${Math.ceil(bytes / 1e9)} GB`
}
