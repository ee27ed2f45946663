/** An HEIC and a DNG photo go through the tray like any other: preview, reading, cut-outs. */
import { existsSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import Color from 'colorjs.io'
import sharp from 'sharp'
import { expect, test } from 'vitest'
import { makeCut } from '../../electron/photos/cuts.ts'
import { encodeJpeg } from '../../electron/photos/encode.ts'
import { originalPath } from '../../electron/rack/disk/photo-store.ts'
import type { Layout } from '../../shared-core/records/area.ts'
import { tiffBytes } from '../published/dng/tiff-bytes.ts'
import { codePointsProperty, heifFile, pictureItem } from '../published/heif/heif-bytes.ts'
import { expected, p3, rgbPicture } from '../published/heif/rgb-picture.ts'
import { benchService } from './bench-service.ts'
import { box, noHelp } from './panel-photo.ts'

const [width, height] = [320, 240]
/** Paint that sRGB cannot hold and a card of L* 50, as Display P3 numbers by colorjs.io. */
const paint = new Color('p3', [0.78, 0.12, 0.14])
const bytesOf = (colour: Color) =>
  colour.coords.map((v) => Math.round(255 * (v ?? 0))) as unknown as [number, number, number]
const [paintBytes, cardBytes] = [bytesOf(paint), bytesOf(new Color('lab', [50, 0, 0]).to('p3'))]
const scene = (x: number, _y: number) => (x < 192 ? paintBytes : cardBytes)
const layout: Layout = {
  areas: [{ stepId: null, shape: { kind: 'quad', quad: box(20, 20, 140, 200) } }],
  card: { quad: box(210, 20, 90, 200), lab: { l: 50, a: 0, b: 0 } },
}

test('HEIC and DNG: from the drop to a colour', async () => {
  const { call, ended, folder, context } = await benchService()
  await call('rack.create', { folder: join(folder, 'rack'), name: 'Bench' })
  const heic = heifFile([pictureItem(1, rgbPicture(width, height, scene), [codePointsProperty(p3)])], 1)
  writeFileSync(join(folder, 'IMG_1.heic'), heic)
  const pixels = Buffer.from(Array.from({ length: 640 * 480 }, (_, i) => scene((i % 640) / 2, 0)).flat())
  const jpeg = await sharp(pixels, { raw: { width: 640, height: 480, channels: 3 } })
    .jpeg({ quality: 98 })
    .toBuffer()
  const long = (tag: number, value: number) => ({ tag, type: 'long' as const, values: [value] })
  writeFileSync(
    join(folder, 'IMG_2.dng'),
    tiffBytes([
      { tag: 50706, type: 'byte', values: [1, 6, 0, 0] },
      long(254, 1),
      long(256, 640),
      long(257, 480),
      long(259, 7),
      long(262, 6),
      long(279, jpeg.length),
      { tag: 273, type: 'place', of: jpeg },
    ]),
  )
  const same = { pixels: Uint8Array.from(expected(width, height, scene)), width, height, space: 'Display P3' as const }
  writeFileSync(join(folder, 'IMG_3.jpg'), await encodeJpeg({ ...same, quality: 100, onItsSide: false, exif: null }))
  const files = ['IMG_1.heic', 'IMG_2.dng', 'IMG_3.jpg'].map((name) => ({ path: join(folder, name), name }))
  const job = await ended((await call('photos.takeIn', { files })).jobId)
  expect(job.items.map(({ fate, why }) => why?.code ?? fate)).toEqual(['taken', 'taken', 'taken'])

  const { photos } = await call('photos.listTray', {})
  expect(photos.map(({ format }) => format).toSorted()).toEqual(['dng', 'heic', 'jpeg'])
  for (const photo of photos)
    for (const size of ['thumb', 'view'] as const) {
      const { path } = await call('pictures.locate', { key: `photo/${photo.sha256}/${size}` })
      expect(existsSync(path)).toBe(true)
    }
  const fromPhone = photos.find(({ format }) => format === 'heic')
  expect(fromPhone).toMatchObject({ width, height, profile: 'Display P3', profileAssumed: false, cautions: [] })
  const fromRaw = photos.find(({ format }) => format === 'dng')
  expect(fromRaw?.cautions.map(({ code, weight }) => [code, weight])).toContainEqual(['photo/preview-of-raw', 'note'])

  // the same numbers in a format that was always read
  const labs = await Promise.all(
    ['heic', 'jpeg'].map(async (format) => {
      const photoId = photos.find((photo) => photo.format === format)?.id ?? ''
      const { results } = await call('photos.read', { photoId, layout, ...noHelp })
      const lab = results[0]?.colour?.lab
      expect(lab).toBeDefined()
      return new Color('lab', [lab?.l ?? 0, lab?.a ?? 0, lab?.b ?? 0])
    }),
  )
  expect(labs[0]?.deltaE(labs[1] ?? paint, '2000')).toBeLessThan(0.5)

  const cut = join(folder, 'cut.webp')
  const original = originalPath(context.rack().folder, fromPhone?.sha256 ?? '', 'heic')
  await makeCut(original, layout.areas[0]?.shape ?? { kind: 'round', centre: [80, 80], radius: 20 }, cut)
  const numbers = await sharp(cut, { ignoreIcc: true }).raw().toBuffer()
  paintBytes.forEach((v, c) => expect(Math.abs((numbers[c] ?? 0) - v)).toBeLessThanOrEqual(4))
})
