import { stat } from 'node:fs/promises'
import type { LayoutReading } from '../../shared-core/capture/read-layout.ts'
import { words } from '../../shared-core/capture/words.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { Layout } from '../../shared-core/records/area.ts'
import type { Caution, Photo } from '../../shared-core/records/photo.ts'
import type { SheetFit } from '../../shared-core/records/photo-sheet.ts'
import type { SetupFit } from '../../shared-core/records/setup.ts'
import { calibrateFromPhoto, learnSheetFromPhoto, type ReadOptions, readPhoto } from '../photos/read.ts'
import { isWhole, originalPath } from '../rack/disk/photo-store.ts'
import type { Rack } from '../rack/opening/open.ts'
import { knownSheetFor } from '../rack/queries/known-sheets.ts'
import { readPhotoRecord } from '../rack/queries/photos.ts'
import { readSetup } from '../rack/queries/setups.ts'
import { mustBeFlat } from '../rack/queries/tray.ts'

/** What a photo is read with besides its own marks; its light, where that is another than it names. */
export type Help = { setupId: string | null; flatPhotoId: string | null; lightId?: string | null | undefined }

/** Originals that were found whole, as long as nobody has written to them. */
const foundWhole = new Map<string, string>()
const wholeKept = 1000

/**
 * The original of a photo, byte for byte as it was taken in: one that a drive has altered would still be read, as another
 * colour.
 * @throws Refusal `photo/original-missing`
 */
async function originalOf(rack: Rack, photo: Photo): Promise<string> {
  const path = originalPath(rack.folder, photo.sha256, photo.format)
  const missing = (what: string) =>
    new Refusal(
      'photo/original-missing',
      `The original of ${photo.name} ${what}.`,
      'Give the card or backup that still has it under “Check and repair”, or take the photo in again: it is recognised by its content.',
    )
  const found = await stat(path).catch(() => null)
  if (!found) throw missing('is missing from the rack’s folder')
  const mark = `${photo.sha256} ${found.ino} ${found.size} ${found.mtimeMs}`
  if (foundWhole.get(path) === mark) return path
  const whole = await isWhole(path, photo.sha256, photo.byteCount).catch(() => false)
  if (!whole) throw missing('is no longer as it was taken in: its drive has altered it')
  if (foundWhole.size >= wholeKept) foundWhole.clear()
  foundWhole.set(path, mark)
  return path
}

/** What the file itself is refused for was no matter when it was taken in: it has been harmed since. */
async function whileLegible<T>(photo: Photo, work: () => Promise<T>): Promise<T> {
  try {
    return await work()
  } catch (error) {
    if (!(error instanceof Refusal)) throw error
    throw new Refusal(
      'photo/original-missing',
      `The original of ${photo.name} can no longer be read: ${error.message}`,
      'Give the card or backup that still has it under “Check and repair”, or take the photo in again.',
    )
  }
}

/** @throws Refusal `setup/absent`, or `photo/absent` for a blank sheet that is not there */
export async function mustBeAtHand(db: Rack['db'], help: Help, photoId: string): Promise<void> {
  if (help.setupId !== null) await readSetup(db, help.setupId)
  await mustBeFlat(db, help.flatPhotoId, photoId)
}

/**
 * Reads the marked areas of a photo of the rack.
 * @throws Refusal `photo/original-missing` when an original is gone or can no longer be read; `setup/absent`;
 *   `photo/absent` for a blank sheet that is not there
 */
export async function readOriginal(rack: Rack, photo: Photo, layout: Layout, help: Help): Promise<LayoutReading> {
  return withOriginal(rack, photo, layout, help, (path, options) => readPhoto(path, layout, options))
}

/**
 * Works on the original of a photo of the rack with all that it is read with.
 * @throws Refusal as `readOriginal` does
 */
export async function withOriginal<T>(
  rack: Rack,
  photo: Photo,
  layout: Layout,
  help: Help,
  work: (path: string, options: ReadOptions) => Promise<T>,
): Promise<T> {
  await mustBeAtHand(rack.db, help, photo.id)
  const path = await originalOf(rack, photo)
  const { setupId, flatPhotoId } = help
  const setup = setupId === null ? null : (await readSetup(rack.db, setupId)).fit
  const sheet = flatPhotoId === null ? null : await readPhotoRecord(rack.db, flatPhotoId)
  const flat = sheet && (await originalOf(rack, sheet))
  const options = { setup, flat, exposure: photo.exposure, ...(await sheetHelp(rack.db, photo, layout, help)) }
  return whileLegible(photo, () => work(path, options))
}

/** What is known of the photo sheet that a layout shows, in the light that is named or else the photo's own. */
export async function sheetHelp(
  db: Rack['db'],
  photo: Photo,
  { sheet }: Layout,
  { lightId = photo.lightId }: Pick<Help, 'lightId'>,
): Promise<Pick<ReadOptions, 'knownSheet' | 'sheetFromOtherLight'>> {
  const known = sheet ? await knownSheetFor(db, sheet.print.series, lightId) : null
  return { knownSheet: known?.fit ?? null, sheetFromOtherLight: known !== null && known.lightId !== lightId }
}

/** What a photo of the rack teaches about the photo sheet with a chart on it. @throws Refusal when it teaches nothing */
export async function learnSheetOf(
  rack: Rack,
  photo: Photo,
  layout: Layout,
): Promise<{ fit: SheetFit; cautions: Caution[] }> {
  const path = await originalOf(rack, photo)
  const { fit, cautions, refused } = await whileLegible(photo, () => learnSheetFromPhoto(path, layout, photo.exposure))
  if (fit) return { fit, cautions }
  const { code, message, remedy } = refused ?? words.sheetInksUnread
  throw new Refusal(sheetCodes.find((known) => known === code) ?? 'sheet/unreadable', message, remedy)
}

const sheetCodes = ['sheet/not-seen', 'sheet/no-chart'] as const

/** What the chart in a photo of the rack teaches about its camera and light. @throws Refusal when it teaches nothing */
export async function calibrateOriginal(
  rack: Rack,
  photo: Photo,
  layout: Layout,
): Promise<{ fit: SetupFit; cautions: Caution[] }> {
  if (!layout.chart)
    throw new Refusal(
      'setup/no-chart',
      'No chart is marked on this photo.',
      'Mark the corners of the 24 patches, or photograph the chart in this light.',
    )
  const path = await originalOf(rack, photo)
  const { fit, cautions, refused } = await whileLegible(photo, () => calibrateFromPhoto(path, layout, photo.exposure))
  if (fit) return { fit, cautions }
  throw new Refusal(
    'setup/chart-unreadable',
    refused?.message ?? 'The chart could not be read.',
    refused?.remedy ?? 'Look whether its corners are marked in the right order, or take the photo again.',
  )
}
