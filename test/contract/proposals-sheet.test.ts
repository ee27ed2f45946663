import { join } from 'node:path'
import sharp from 'sharp'
import { afterAll, expect, test, vi } from 'vitest'
import { endLooking, lookAt } from '../../electron/photos/propose/look-at.ts'
import { qrRows } from '../../electron/print/qr.ts'
import { layOutPhotoSheet } from '../../shared-core/label/photo-sheet/layout.ts'
import { photoSheetPlaces } from '../../shared-core/label/photo-sheet/places.ts'
import { draft } from '../rack/fresh.ts'
import { type Laid, mapOf, pagePicture, photograph, plainView, through } from '../unit/sheet-scene.ts'
import { benchService } from './bench-service.ts'

afterAll(endLooking)

const print = { paper: { widthMm: 210, heightMm: 297 }, panel: { widthMm: 100, heightMm: 150 }, series: 41_273 }
const places = photoSheetPlaces(print.paper, print.panel)
const view = { ...plainView, tilt: 18, towards: 30 }

/** A panel in three steps, the lightest at the bottom of the sheet, beside the grey card; all sRGB. */
async function shoot(path: string, code: string): Promise<void> {
  const rows = await qrRows(code)
  const page = layOutPhotoSheet(
    print,
    { code, title: 'Teal' },
    (text, _face, size) => text.length * size * 0.55,
    () => rows,
  )
  const strip = (at: number, srgb: Laid['srgb']): Laid => {
    const heightMm = places.window.heightMm / 3
    return { ...places.window, yMm: places.window.yMm + at * heightMm, heightMm, srgb }
  }
  const laid = [
    strip(0, [14, 58, 64]),
    strip(1, [30, 96, 104]),
    strip(2, [70, 150, 156]),
    { ...places.card, srgb: [119, 119, 119] } as const,
  ]
  const { data, width, height } = photograph(pagePicture(page, laid), print.paper, view)
  await sharp(data, { raw: { width, height, channels: 3 } })
    .jpeg({ quality: 93 })
    .toFile(path)
}

test('the photo of a panel on its printed sheet is filed to that panel on one confirmation', async () => {
  const { call, ended, folder } = await benchService({ lookAt })
  await call('rack.create', { folder: join(folder, 'rack'), name: 'Bench' })
  const steps = [1, 2, 4].map((coats) => ({ id: null, coats, notes: '' }))
  const { panel } = await call('panels.save', { draft: draft({ steps }) })
  const path = join(folder, 'sheet.jpg')
  await shoot(path, panel.code)
  const { items } = await ended((await call('photos.takeIn', { files: [{ path, name: 'sheet.jpg' }] })).jobId)
  const photoId = items[0]?.photoId ?? ''
  await vi.waitFor(async () => expect((await call('proposals.overview', {})).waiting).toBe(0), { timeout: 60_000 })
  const { proposal } = await call('proposals.get', { photoId })
  expect(proposal.doubts).toEqual([])
  expect(proposal.layout?.sheet?.print).toEqual(print)
  // more coats of a candy are darker: the first step is the lightest, and lies last
  expect(proposal.layout?.areas.map(({ stepId }) => stepId)).toEqual(panel.steps.map(({ id }) => id).toReversed())
  // edges of the steps where the camera saw them, to a millimetre
  const onPhoto = mapOf(print.paper, view)
  const pixelsPerMm = 1 / (proposal.layout?.mmPerPixel ?? 1)
  for (const [i, { shape }] of (proposal.layout?.areas ?? []).entries()) {
    const { window } = places
    const corner = through(onPhoto, window.xMm, window.yMm + (i * window.heightMm) / 3)
    const found = shape.kind === 'quad' ? shape.quad[0] : [0, 0]
    expect(Math.hypot(found[0]! - corner[0], found[1]! - corner[1]) / pixelsPerMm).toBeLessThan(2)
  }
  const job = await ended((await call('proposals.fileReady', { photoIds: [photoId] })).jobId)
  expect(job.outcome).toBe('1 photo filed.')
  const { readings } = await call('panels.get', { key: panel.code })
  expect(readings).toHaveLength(3)
  const lightness = panel.steps.map(({ id }) => readings.find(({ stepId }) => stepId === id)?.lab.l ?? 0)
  expect(lightness[0]).toBeGreaterThan(lightness[1]!)
  expect(lightness[1]).toBeGreaterThan(lightness[2]!)
}, 90_000)
