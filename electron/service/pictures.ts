import { mkdir, stat } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { PhotoFormat } from '../../shared-core/records/photo.ts'
import { type Cut, makeCuts, shrinkCut } from '../photos/cuts.ts'
import { release } from '../photos/release.ts'
import { makeRendition, type SmallPictures } from '../photos/renditions.ts'
import { writePicture } from '../photos/write-picture.ts'
import { originalPath } from '../rack/disk/photo-store.ts'
import { withRetries } from '../rack/disk/with-retries.ts'
import type { Rack } from '../rack/opening/open.ts'
import { shapeOf } from '../rack/queries/layouts.ts'
import { type PictureKey, pictureFile, readKey } from './link/picture-files.ts'
import { GivenUp, makePictureQueue } from './picture-queue.ts'

/** Two decodings keep two cores busy; more only fill the memory. */
export const decodings = makePictureQueue(2)

const absent = (why: string) =>
  new Refusal('picture/absent', why, 'Take the photo in again; what was read from it is kept.')
const noSuchName = () => absent('There is no picture of this name.')

export type Located = { path: string; type: string; inside: string }
const renditionsOf = (rack: Rack): string => rack.renditions

/**
 * Where a picture's file lies; it is made first when it is missing, once however many ask for it.
 * @throws Refusal `picture/absent`; `picture/given-up` when whoever asked gave up before it was made
 */
export async function locatePicture(rack: Rack, key: string): Promise<Located> {
  const picture = readKey(key)
  if (!picture) throw noSuchName()
  const inside = renditionsOf(rack)
  const path = pictureFile(inside, picture)
  // a rack that is only looked at has most of its pictures where it lies
  const there = join(rack.folder, 'renditions')
  if (there !== inside && (await isThere(pictureFile(there, picture))))
    return { path: pictureFile(there, picture), type: 'image/webp', inside: there }
  if (!(await isThere(path))) {
    // made with its figures by `side.correctPhoto`, never by its name alone
    if (picture.kind === 'corrected') throw absent('This corrected picture is no longer there.')
    await madeInTurn(rack, picture, path)
  }
  return { path, type: 'image/webp', inside }
}

/** Whoever asked for these pictures no longer looks at their place: what has not been begun is not made. */
export function giveUpPictures(rack: Rack, keys: readonly string[]): void {
  for (const key of keys) {
    const picture = readKey(key)
    if (picture) decodings.giveUp(pictureFile(renditionsOf(rack), picture))
  }
}

async function madeInTurn(
  rack: Rack,
  picture: Exclude<PictureKey, { kind: 'corrected' }>,
  path: string,
): Promise<void> {
  try {
    await decodings.make(path, () =>
      picture.kind === 'photo' ? makePhoto(rack, picture, path) : makeCutOf(rack, picture),
    )
  } catch (error) {
    if (error instanceof GivenUp)
      throw new Refusal('picture/given-up', 'The picture was no longer wanted.', 'Ask for it again.')
    if (error instanceof Refusal && error.code.startsWith('photo/')) throw absent(error.message)
    throw error
  }
}

async function makePhoto(rack: Rack, { hash, size }: PictureKey & { kind: 'photo' }, path: string): Promise<void> {
  // made meanwhile, together with another
  if (await isThere(path)) return
  const row = await rack.db.selectFrom('photo').select('format').where('sha256', '=', hash).executeTakeFirst()
  if (!row) throw absent('This photo is not in the rack.')
  const original = await presentOriginal(rack, { sha256: hash, format: row.format })
  await mkdir(dirname(path), { recursive: true })
  await makeRendition(original, size, path)
}

async function makeCutOf(rack: Rack, picture: PictureKey & { kind: 'cut' }): Promise<void> {
  const inside = renditionsOf(rack)
  const fileOf = (size: typeof picture.size, hash = picture.hash) => pictureFile(inside, { kind: 'cut', hash, size })
  const path = fileOf(picture.size)
  if (await isThere(path)) return
  if (picture.size === 'small' && (await isThere(fileOf('usual')))) return shrinkCut(fileOf('usual'), 'small', path)
  const photo = await rack.db
    .selectFrom('area')
    .innerJoin('photo', 'photo.id', 'area.photo_id')
    .select(['photo.id', 'photo.sha256', 'photo.format'])
    .where('area.cut_key', '=', picture.hash)
    .limit(1)
    .executeTakeFirst()
  if (!photo) throw absent('This area is not in the rack.')
  if (picture.size !== 'large') {
    // asked for at the same time as its neighbour, it is being made beside it
    await cutting.get(photo.id)?.catch(() => undefined)
    if (picture.size === 'small' && (await isThere(fileOf('usual')))) return shrinkCut(fileOf('usual'), 'small', path)
    if (await isThere(path)) return
  }
  const cut = cutFrom(rack, picture, photo)
  cutting.set(photo.id, cut)
  try {
    await cut
  } finally {
    if (cutting.get(photo.id) === cut) cutting.delete(photo.id)
  }
  if (picture.size === 'small') await shrinkCut(fileOf('usual'), 'small', path)
}

/** Photos of which cut-outs are being made. */
const cutting = new Map<string, Promise<void>>()

async function cutFrom(
  rack: Rack,
  picture: PictureKey & { kind: 'cut' },
  photo: { id: string; sha256: string; format: string },
): Promise<void> {
  const fileOf = (size: typeof picture.size, hash = picture.hash) =>
    pictureFile(renditionsOf(rack), { kind: 'cut', hash, size })
  const original = await presentOriginal(rack, photo)
  // the other areas of the photo lie beside it on the wall, and decoding takes most of the time
  const areas = await rack.db
    .selectFrom('area')
    .select(['cut_key', 'kind', 'points', 'radius'])
    .where('photo_id', '=', photo.id)
    .execute()
  const cuts: Cut[] = []
  for (const area of areas) {
    const size = picture.size === 'large' ? 'large' : 'usual'
    const outPath = fileOf(size, area.cut_key)
    const isWanted = area.cut_key === picture.hash
    const isNew = !cuts.some((cut) => cut.outPath === outPath)
    if (isNew && (isWanted || (size === 'usual' && !(await isThere(outPath))))) {
      await mkdir(dirname(outPath), { recursive: true })
      cuts.push({ shape: shapeOf(area), size, outPath })
    }
  }
  const { left } = await makeCuts(original, cuts)
  if (left.some(({ outPath }) => outPath === fileOf(picture.size === 'large' ? 'large' : 'usual')))
    throw absent('The outline of this area has no inside.')
}

async function presentOriginal(rack: Rack, photo: { sha256: string; format: string }): Promise<string> {
  const path = originalPath(rack.folder, photo.sha256, photo.format as PhotoFormat)
  if (await isThere(path)) return path
  throw absent('The original of this photo is missing from the rack’s folder.')
}

/** Keeps what was made of a photo as it came in, and lets go of it. */
export async function keepSmallPictures(rack: Rack, sha256: string, pictures: SmallPictures): Promise<void> {
  try {
    for (const size of ['thumb', 'view'] as const) {
      const path = pictureFile(renditionsOf(rack), { kind: 'photo', hash: sha256, size })
      await mkdir(dirname(path), { recursive: true })
      await withRetries(() => writePicture(pictures[size], path))
    }
  } finally {
    for (const bytes of Object.values(pictures)) release(bytes)
  }
}

/** An empty file is what a power cut leaves of one that was just written. */
const isThere = (path: string): Promise<boolean> =>
  stat(path).then(
    ({ size }) => size > 0,
    () => false,
  )
