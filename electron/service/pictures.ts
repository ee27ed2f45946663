import { access, mkdir } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { PhotoFormat } from '../../shared-core/records/photo.ts'
import { makeCut, makeRendition } from '../photos/renditions.ts'
import type { Rack } from '../rack/open.ts'
import { originalPath } from '../rack/photo-store.ts'
import { shapeOf } from '../rack/queries/layouts.ts'

/** Keys are strict, so that no key can name a file outside of the renditions. */
const photoKey = /^photo\/([0-9a-f]{64})\/(thumb|view|full)$/
const cutKey = /^cut\/([0-9a-f]{32})$/

/** Two decodings keep two cores busy; more only fill the memory. */
const atOnce = 2

type Size = 'thumb' | 'view' | 'full'

const renditionsOf = (rack: Rack): string => join(rack.folder, 'renditions')
const renditionPath = (rack: Rack, sha256: string, size: Size): string =>
  join(renditionsOf(rack), sha256.slice(0, 2), `${sha256}-${size}.webp`)

const absent = (why: string) =>
  new Refusal('picture/absent', why, 'Take the photo in again; what was read from it is kept.')

export type Located = { path: string; type: string; inside: string }
const making = new Map<string, Promise<void>>()
let running = 0
const waiting: Array<() => void> = []

/** Where a picture's file lies; it is made first when it is missing, once however many ask for it. */
export async function locatePicture(rack: Rack, key: string): Promise<Located> {
  const photo = photoKey.exec(key)
  const cut = cutKey.exec(key)
  let path: string
  if (photo?.[1]) path = await locateRendition(rack, photo[1], photo[2] as Size)
  else if (cut?.[1]) path = await locateCut(rack, cut[1])
  else throw absent('There is no picture of this name.')
  return { path, type: 'image/webp', inside: renditionsOf(rack) }
}

async function locateRendition(rack: Rack, sha256: string, size: Size): Promise<string> {
  const path = renditionPath(rack, sha256, size)
  if (await isThere(path)) return path
  const row = await rack.db.selectFrom('photo').select('format').where('sha256', '=', sha256).executeTakeFirst()
  if (!row) throw absent('This photo is not in the rack.')
  await makeOnce(path, originalPath(rack.folder, sha256, row.format as PhotoFormat), (original) =>
    makeRendition(original, size, path),
  )
  return path
}

async function locateCut(rack: Rack, key: string): Promise<string> {
  const path = join(renditionsOf(rack), 'cuts', key.slice(0, 2), `${key}.webp`)
  if (await isThere(path)) return path
  const row = await rack.db
    .selectFrom('area')
    .innerJoin('photo', 'photo.id', 'area.photo_id')
    .select(['photo.sha256', 'photo.format', 'area.kind', 'area.points', 'area.radius'])
    .where('area.cut_key', '=', key)
    .limit(1)
    .executeTakeFirst()
  if (!row) throw absent('This area is not in the rack.')
  await makeOnce(path, originalPath(rack.folder, row.sha256, row.format as PhotoFormat), (original) =>
    makeCut(original, shapeOf(row), path),
  )
  return path
}

/** What the tray and the photo's page show, made when a photo is taken in. */
export async function makeRenditions(rack: Rack, photo: { sha256: string; format: PhotoFormat }): Promise<void> {
  for (const size of ['thumb', 'view'] as const) {
    const path = renditionPath(rack, photo.sha256, size)
    if (await isThere(path)) continue
    await makeOnce(path, originalPath(rack.folder, photo.sha256, photo.format), (original) =>
      makeRendition(original, size, path),
    )
  }
}

async function makeOnce(path: string, original: string, make: (original: string) => Promise<void>): Promise<void> {
  const underWay = making.get(path)
  if (underWay) return underWay
  const made = (async () => {
    if (!(await isThere(original))) throw absent('The original of this photo is missing from the rack’s folder.')
    await inTurn(async () => {
      await mkdir(dirname(path), { recursive: true })
      await make(original)
    })
  })()
  making.set(path, made)
  try {
    await made
  } catch (error) {
    if (error instanceof Refusal && error.code.startsWith('photo/')) throw absent(error.message)
    throw error
  } finally {
    making.delete(path)
  }
}

async function inTurn(work: () => Promise<void>): Promise<void> {
  if (running >= atOnce) await new Promise<void>((resolve) => waiting.push(resolve))
  else running++
  try {
    await work()
  } finally {
    const next = waiting.shift()
    if (next) next()
    else running--
  }
}

const isThere = (path: string) =>
  access(path).then(
    () => true,
    () => false,
  )
