import { createHash } from 'node:crypto'
import { mkdir, readFile, stat } from 'node:fs/promises'
import { dirname } from 'node:path'
import { z } from 'zod'
import { correctedSize } from '../../../shared-core/capture/correct.ts'
import { scaleOf } from '../../../shared-core/capture/sheet/page.ts'
import { differenceCiede2000 } from '../../../shared-core/colour/difference.ts'
import type { Output } from '../../../shared-core/contract/calls.ts'
import type { PhotoPoint } from '../../../shared-core/contract/match-calls.ts'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import { LabRecord } from '../../../shared-core/records/colour.ts'
import type { Caution } from '../../../shared-core/records/photo.ts'
import type { ScreenSpace } from '../../../shared-core/records/side.ts'
import { correctedCut } from '../../photos/corrected.ts'
import { writePicture } from '../../photos/write-picture.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { readPhotoRecord } from '../../rack/queries/photos.ts'
import { getReading } from '../../rack/queries/readings.ts'
import { readSetup } from '../../rack/queries/setups.ts'
import { pictureFile } from '../link/picture-files.ts'
import { type Help, sheetHelp, withOriginal } from '../originals.ts'
import { decodings } from '../pictures.ts'
import { layoutWithPoint } from '../point-reading.ts'
import { type Mark, markOf } from './mark-of.ts'

type Asked = { kind: 'reading'; id: string } | ({ kind: 'point' } & PhotoPoint)
type Answer = Output<'side.correctPhoto'>

/** What is kept beside a picture; with another number it is made anew. */
const Figures = z.object({
  widthPx: z.int().positive(),
  heightPx: z.int().positive(),
  mean: LabRecord,
  outside: z.number(),
  /** What the area read when the picture was made. */
  reads: LabRecord,
})
type Figures = z.infer<typeof Figures>

/** Raised when the same photo and marks would give another picture. */
const version = 1

/**
 * A picture that reads otherwise than the reading shows another colour than the one that is compared: so much is let pass
 * for marks beside it that have come or gone since.
 */
const mostApart = 1.5

/**
 * The corrected picture of what a reading was read from, made when it is not there yet.
 * @throws Refusal whose code `side.correctPhoto` declares
 */
export async function correctPhoto(rack: Rack, of: Asked, space: ScreenSpace): Promise<Answer> {
  const { mark, lab, help } = await whatIsShown(rack, of)
  const key = await keyOf(rack, mark, help, space)
  const folder = rack.renditions
  const path = pictureFile(folder, { kind: 'corrected', hash: key })
  const figures = (await readFigures(path)) ?? (await make(rack, mark, help, space, path))
  if (lab && differenceCiede2000(lab, figures.reads) > mostApart)
    throw new Refusal(
      'side/reads-otherwise',
      'The marks of this photo have changed since the reading was taken: its picture would show another colour.',
      'File the photo again from the Tray, or look at the flat colour.',
    )
  const { widthPx, heightPx, mean, outside } = figures
  const mmPerPixel = scaleOf(mark.layout)
  const scale = mmPerPixel ? mmPerPixel * correctedSize(mark.shape).smaller : null
  return { picture: `corrected/${key}`, widthPx, heightPx, mmPerPixel: scale, mean, outside }
}

async function whatIsShown(rack: Rack, of: Asked) {
  if (of.kind === 'point') {
    const photo = await readPhotoRecord(rack.db, of.photoId)
    const { layout, at } = layoutWithPoint(photo, of)
    const shape = layout.areas[at]?.shape
    if (!shape) throw noPhoto()
    const mark: Mark = { photo, layout, at, shape }
    return { mark, lab: null, help: { setupId: photo.setupId, flatPhotoId: photo.flatPhotoId, lightId: photo.lightId } }
  }
  const reading = await getReading(rack.db, of.id)
  const mark = await markOf(rack.db, reading)
  if (!mark) throw noPhoto()
  const { setupId = mark.photo.setupId } = reading
  const { lightId } = reading
  return { mark, lab: reading.lab, help: { setupId, flatPhotoId: mark.photo.flatPhotoId, lightId } }
}

const noPhoto = () =>
  new Refusal(
    'side/no-photo',
    'There is no photo of this reading.',
    'Its flat colour is shown. Photograph the panel to see its grain.',
  )

/** The same photo, marks and help give the same picture: it is named by them. */
async function keyOf(rack: Rack, { photo, layout, at }: Mark, help: Help, space: ScreenSpace) {
  const { setupId, flatPhotoId } = help
  const setup = setupId === null ? null : (await readSetup(rack.db, setupId)).fit
  const flat = flatPhotoId === null ? null : (await readPhotoRecord(rack.db, flatPhotoId)).sha256
  const { areas, card, tiles, chart } = layout
  const shapes = areas.map(({ shape }) => shape)
  const said: unknown[] = [version, photo.sha256, shapes, at, card, tiles ?? [], chart ?? null, setup, flat, space]
  // what was made before there were sheets keeps its name
  if (layout.sheet) said.push(layout.sheet, await sheetHelp(rack.db, photo, layout, help))
  return createHash('sha256').update(JSON.stringify(said)).digest('hex').slice(0, 32)
}

const figuresBeside = (path: string) => path.replace(/\.webp$/, '.json')

/** Null where either of the two is missing or was left half by a power cut: both are made again. */
async function readFigures(path: string): Promise<Figures | null> {
  try {
    const [text, picture] = await Promise.all([readFile(figuresBeside(path), 'utf8'), stat(path)])
    return picture.size > 0 ? (Figures.safeParse(JSON.parse(text)).data ?? null) : null
  } catch {
    return null
  }
}

async function make(rack: Rack, mark: Mark, help: Help, space: ScreenSpace, path: string): Promise<Figures> {
  const { photo, layout, at } = mark
  await decodings.make(path, async () => {
    const { result, corrected } = await withOriginal(rack, photo, layout, help, (original, options) =>
      correctedCut(original, layout, at, space, options),
    )
    if (!corrected || !result.colour) throw unreadable(result.refused)
    await mkdir(dirname(path), { recursive: true })
    const { webp, ...figures } = corrected
    await writePicture(webp, path)
    const kept: Figures = { ...figures, reads: result.colour.lab }
    await writePicture(new TextEncoder().encode(JSON.stringify(kept)), figuresBeside(path))
  })
  const made = await readFigures(path)
  if (!made) throw new Error('A corrected picture was not kept')
  return made
}

const unreadable = (why: Caution | null) =>
  new Refusal(
    'side/unreadable',
    why ? why.message : 'This area cannot be read any more.',
    why ? why.remedy : 'Mark it again in the Tray.',
  )
