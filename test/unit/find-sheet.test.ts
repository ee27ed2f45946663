/**
 * Photo sheets are found where the camera of `sheet-scene.ts` saw them: wanted is half a millimetre anywhere on the page. What is no
 * sheet is none, the project's real photos included.
 */
import { existsSync, readdirSync } from 'node:fs'
import { join } from 'node:path'
import * as fc from 'fast-check'
import sharp from 'sharp'
import { describe, expect, it } from 'vitest'
import { mapPoint } from '../../shared-core/capture/geometry.ts'
import type { Pixels } from '../../shared-core/capture/pixels.ts'
import { findSheet } from '../../shared-core/find/sheet/find-sheet.ts'
import { homographyOf, sheetQuad } from '../../shared-core/find/sheet/sheet-quad.ts'
import { layOutPhotoSheet } from '../../shared-core/label/photo-sheet/layout.ts'
import { photoSheetPlaces } from '../../shared-core/label/photo-sheet/places.ts'
import type { SheetOnPhoto, SheetPrint } from '../../shared-core/records/photo-sheet.ts'
import { mapOf, pagePicture, photograph, plainView, type SheetView, through } from './sheet-scene.ts'

const print: SheetPrint = {
  paper: { widthMm: 210, heightMm: 297 },
  panel: { widthMm: 100, heightMm: 150 },
  series: 41_273,
}
const places = photoSheetPlaces(print.paper, print.panel)
const letters = (text: string, _face: string, sizeMm: number): number => text.length * sizeMm * 0.55
const page = pagePicture(
  layOutPhotoSheet(print, { code: 'P-0042', title: '' }, letters, () => ['10', '01']),
  [
    { ...places.window, srgb: [96, 12, 24] },
    { ...places.card, srgb: [119, 119, 119] },
  ],
  8,
)
const small: SheetView = { ...plainView, width: 1000, height: 750 }
const take = (view: SheetView): Pixels => photograph(page, print.paper, view)

/** How far the found sheet lies from where it is, at worst on a grid over the page; millimetres on the page. */
function worstMm(found: Pick<SheetOnPhoto, 'toPhoto'>, view: SheetView): number {
  const truth = mapOf(print.paper, view)
  let worst = 0
  for (let i = 0; i <= 4; i++) {
    for (let j = 0; j <= 4; j++) {
      const [x, y] = [10 + (190 * i) / 4, 10 + (277 * j) / 4]
      const [u, v] = mapPoint(homographyOf(found), [x, y])
      const [trueU, trueV] = through(truth, x, y)
      const [nextU, nextV] = through(truth, x + 0.1, y + 0.1)
      // the smaller of the two scales at this place would be too kind; the diagonal's is neither
      const pixelsPerMm = Math.hypot(nextU - trueU, nextV - trueV) / (0.1 * Math.SQRT2)
      worst = Math.max(worst, Math.hypot(u - trueU, v - trueV) / pixelsPerMm)
    }
  }
  return worst
}

describe('a photo sheet in a photo', () => {
  it.each([
    ['straight from above', {}],
    ['tilted, in light that falls off', { tilt: 40, towards: 35, gradient: 0.3, gradientTo: 120, vignette: 0.4 }],
    ['upside down, blurred, noisy and dark', { turn: 267, tilt: 20, blur: 1.6, noise: 5, white: 120 }],
    ['on white ground in a small picture', { width: 900, height: 675, ground: 245, tilt: 15, towards: 200 }],
  ] satisfies [string, Partial<SheetView>][])('%s', (_name, some) => {
    const view = { ...small, ...some }
    const found = findSheet(take(view))
    expect(found).toMatchObject({ print, missing: [] })
    expect(found!.confidence).toBeGreaterThan(0.9)
    expect(found!.bentMm).toBeLessThan(0.3)
    expect(worstMm(found!, view)).toBeLessThan(0.25)
    const [topLeft] = sheetQuad(found!, places.window)
    const [x, y] = through(mapOf(print.paper, view), places.window.xMm, places.window.yMm)
    expect(Math.hypot(topLeft[0] - x, topLeft[1] - y)).toBeLessThan(1)
  })

  it('is found when one corner is hidden, and says which', () => {
    const view = { ...small, tilt: 25, towards: 80, gradient: 0.3, blur: 1.2, noise: 3 }
    const { xMm, yMm } = places.corners[1]
    const [x, y] = through(mapOf(print.paper, view), xMm, yMm + 19.2).map(Math.round) as [number, number]
    const hand = { left: x - 10, top: y - 10, right: x + 105, bottom: y + 90, code: 150 }
    const found = findSheet(take({ ...view, covers: [hand] }))
    expect(found).toMatchObject({ print, missing: [2] })
    expect(found!.confidence).toBeGreaterThan(0.5)
    expect(worstMm(found!, view)).toBeLessThan(0.5)
  })

  it('is a guess from two corners and none from one', () => {
    const half = { left: 0, top: 0, right: 500, bottom: 750, code: 120 }
    const found = findSheet(take({ ...small, covers: [half] }))
    expect(found).toMatchObject({ print })
    expect(found!.confidence).toBeLessThan(0.5)
    const most = { left: 0, top: 0, right: 1000, bottom: 375, code: 120 }
    expect(findSheet(take({ ...small, covers: [half, most] }))).toBeNull()
  })

  it('is found without a corner that is bent, which is told', () => {
    const view: SheetView = { ...small, tilt: 15, towards: 300, bent: { corner: 3, fromMm: 80, byMm: [3, -2] } }
    const found = findSheet(take(view))
    expect(found).toMatchObject({ print, missing: [3] })
    expect(found!.bentMm).toBeGreaterThan(1.5)
    expect(worstMm(found!, view)).toBeLessThan(0.5)
  })

  it('keeps its numbers in more depth', () => {
    const { data, ...rest } = take({ ...small, width: 720, height: 540 })
    const deep: Pixels = { ...rest, bits: 16, data: Uint16Array.from(data, (code) => code * 257) }
    expect(findSheet(deep)!.toPhoto).toEqual(findSheet({ ...rest, data })!.toPhoto)
  })
})

const shared = join(import.meta.dirname, '../../../shared')
const folders = [join(shared, 'photos'), join(shared, 'bench/capture')].filter((folder) => existsSync(folder))

describe('what is no photo sheet', () => {
  it('is none, whatever the pixels', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 60 }),
        fc.integer({ min: 1, max: 60 }),
        fc.infiniteStream(fc.nat(255)),
        (width, height, codes) => {
          const data = Uint8Array.from({ length: width * height * 3 }, () => codes.next().value ?? 0)
          expect(findSheet({ width, height, channels: 3, bits: 8, data })).toBeNull()
        },
      ),
      { numRuns: 20 },
    )
  })

  it.skipIf(folders.length === 0)('is none in real photos and rendered ones without a sheet', async () => {
    for (const folder of folders) {
      const files = readdirSync(folder).filter((file) => file.endsWith('.jpg'))
      expect(files.length).toBeGreaterThan(5)
      for (const file of files.slice(0, 8)) {
        const { data, info } = await sharp(join(folder, file))
          .autoOrient()
          .removeAlpha()
          .raw()
          .toBuffer({ resolveWithObject: true })
        const picture: Pixels = {
          width: info.width,
          height: info.height,
          channels: 3,
          bits: 8,
          data: new Uint8Array(data),
        }
        expect({ file, found: findSheet(picture) }).toEqual({ file, found: null })
      }
    }
  })
})
