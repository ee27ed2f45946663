/**
 * HEIC files whose every sample is known: coded without loss after ITU-T H.265, put into files after ISO/IEC 23008-12 by
 * the writers in `heif/`. What is read must be what was written.
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { crc32, deflateSync } from 'node:zlib'
import Color from 'colorjs.io'
import sharp from 'sharp'
import { afterAll, describe, expect, it } from 'vitest'
import { makeCut } from '../../electron/photos/cuts.ts'
import { decodePhoto } from '../../electron/photos/decode.ts'
import { inspectPhoto } from '../../electron/photos/inspect.ts'
import { makeRendition } from '../../electron/photos/renditions.ts'
import { matrixProfile, parametricTag } from '../unit/icc-bytes.ts'
import {
  auxiliaryProperty,
  codePointsProperty,
  exifItem,
  gridItem,
  type HeifItem,
  heifFile,
  iccProperty,
  mirrorProperty,
  pictureItem,
  turnProperty,
} from './heif/heif-bytes.ts'
import type { PcmPicture } from './heif/hevc-pcm.ts'
import { type At, busy, expected, p3, rgbPicture, type Triple } from './heif/rgb-picture.ts'

const folder = mkdtempSync(join(tmpdir(), 'heif-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const keep = (name: string, bytes: Uint8Array) => {
  const path = join(folder, name)
  writeFileSync(path, bytes)
  return path
}
const [width, height] = [56, 40]
const simple = (
  properties: Buffer[] = [codePointsProperty(p3)],
  more: Partial<PcmPicture> = {},
  others: HeifItem[] = [],
) => heifFile([pictureItem(1, rgbPicture(width, height, busy, more), properties), ...others], 1)

describe('samples come out as they were written', () => {
  it('8 bits, every pixel', async () => {
    const path = keep('eight.heic', simple())
    expect(await inspectPhoto(path)).toMatchObject({ format: 'heic', width, height, bits: 8, cautions: [] })
    const { pixels } = await decodePhoto(path)
    expect(pixels).toMatchObject({ width, height, bits: 8, channels: 3 })
    expect([...pixels.data]).toEqual(expected(width, height, busy))
  })

  it('10 bits, as 16-bit numbers from 0 to 65,535', async () => {
    const deep: At = (x, y) => [
      (x * 37 + y * 11) % 1024,
      (x * 151 + y * 91) % 1024,
      x === 0 ? 1023 : (x * 71 + y) % 1024,
    ]
    const picture = rgbPicture(width, height, deep, { bits: 10 })
    const path = keep('ten.heic', heifFile([pictureItem(1, picture, [codePointsProperty(p3)])], 1))
    expect(await inspectPhoto(path)).toMatchObject({ bits: 16, width, height })
    const { pixels } = await decodePhoto(path)
    expect(pixels.bits).toBe(16)
    const full = expected(width, height, deep).map((v) => Math.round((v * 65_535) / 1023))
    expect([...pixels.data]).toEqual(full)
  })

  it('a part of the photo alone', async () => {
    const path = keep('part.heic', simple())
    const { pixels } = await decodePhoto(path, { left: 9, top: 5, width: 4, height: 3 })
    expect([...pixels.data]).toEqual(expected(4, 3, (x, y) => busy(x + 9, y + 5)))
  })

  it.each([
    ['full range', true],
    ['video range', false],
  ])('luma and halved chroma become red, green and blue: BT.601 matrix, %s', async (_, fullRange) => {
    // ITU-T H.273 clause 8.3, equations 20 to 30 (range) and matrix 6: KR 0.299, KB 0.114
    const [yy, cb, cr] = [150, 105, 161]
    const planes = [new Uint8Array(64 * 64).fill(yy), new Uint8Array(1024).fill(cb), new Uint8Array(1024).fill(cr)]
    const colour: Triple = [1, 13, 6]
    const picture: PcmPicture = { width: 64, height: 64, bits: 8, chroma: 1, planes, colour, fullRange }
    const path = keep(`half-${fullRange}.heic`, heifFile([pictureItem(1, picture)], 1))
    const { pixels } = await decodePhoto(path)
    const luma = fullRange ? yy : ((yy - 16) * 255) / 219
    const [b, r] = [cb - 128, cr - 128].map((v) => (fullRange ? v : (v * 255) / 224)) as [number, number]
    const red = luma + 2 * (1 - 0.299) * r
    const blue = luma + 2 * (1 - 0.114) * b
    const green = (luma - 0.299 * red - 0.114 * blue) / 0.587
    // libheif rounds the factors of video range to 1/256
    const tolerance = fullRange ? 1 : 1.5
    ;[red, green, blue].forEach((v, c) => expect(Math.abs((pixels.data[c] ?? 0) - v)).toBeLessThanOrEqual(tolerance))
  })

  it('a picture of tiles, as phones make them, cut at its right and lower edge', async () => {
    const [w, h, side] = [150, 100, 64]
    const tiles = [0, 1, 2, 3, 4, 5].map((n) => {
      const [left, top] = [(n % 3) * side, Math.floor(n / 3) * side]
      const tile = rgbPicture(side, side, (x, y) => busy(x + left, y + top))
      return { ...pictureItem(n + 1, tile, [codePointsProperty(p3)]), hidden: true }
    })
    const grid = gridItem(9, [1, 2, 3, 4, 5, 6], { rows: 2, columns: 3, width: w, height: h }, [codePointsProperty(p3)])
    const path = keep('grid.heic', heifFile([...tiles, grid], 9))
    expect(await inspectPhoto(path)).toMatchObject({ width: w, height: h, profile: 'Display P3' })
    expect([...(await decodePhoto(path)).pixels.data]).toEqual(expected(w, h, busy))
  })
})

/** EXIF 2.32: orientation 6, a camera, white balance set by hand, a lens of 6.8 mm. Big-endian TIFF. */
function exifBytes(): Buffer {
  const short = (tag: number, value: number) => [tag, 3, 0, 1, value, 0]
  const words = (list: number[]) => list.flatMap((v) => [(v >> 8) & 255, v & 255])
  // first directory at 8: model (text at 74), orientation, pointer to the second at 50
  const first = [3, 0x0110, 2, 0, 6, 0, 84, ...short(0x0112, 6), 0x8769, 4, 0, 1, 0, 50, 0, 0]
  const second = [2, ...short(0xa403, 1), 0x920a, 5, 0, 1, 0, 90, 0, 0]
  const bytes = Buffer.alloc(98)
  bytes.write('MM\0*\0\0\0\x08', 0, 'latin1')
  Buffer.from(words(first)).copy(bytes, 8)
  Buffer.from(words(second)).copy(bytes, 50)
  bytes.write('Phone\0', 84, 'latin1')
  bytes.writeUInt32BE(68, 90)
  bytes.writeUInt32BE(10, 94)
  return bytes
}

describe('which way up', () => {
  // ISO/IEC 23008-12 clause 6.5.10: irot turns against the clock
  const turned: At = (x, y) => busy(width - 1 - y, x)

  it('irot is applied once, and EXIF’s orientation, which says the same, is not applied on top', async () => {
    const file = simple([codePointsProperty(p3), turnProperty(1)], {}, [exifItem(5, exifBytes(), 1)])
    const path = keep('turned.heic', file)
    const facts = await inspectPhoto(path)
    expect(facts).toMatchObject({ width: height, height: width })
    expect(facts.exposure).toMatchObject({ camera: 'Phone', whiteBalance: 'manual', focalLengthMm: 6.8 })
    expect([...(await decodePhoto(path)).pixels.data]).toEqual(expected(height, width, turned))
  })

  it('EXIF’s orientation alone turns nothing: HEIF’s own properties tell', async () => {
    const path = keep('exif-only.heic', simple(undefined, {}, [exifItem(5, exifBytes(), 1)]))
    expect(await inspectPhoto(path)).toMatchObject({ width, height })
    expect([...(await decodePhoto(path)).pixels.data]).toEqual(expected(width, height, busy))
  })

  it.each([
    ['top and bottom', 0 as const, ((x, y) => busy(x, height - 1 - y)) satisfies At],
    ['left and right', 1 as const, ((x, y) => busy(width - 1 - x, y)) satisfies At],
  ])('imir exchanges %s', async (_, axis, mirrored) => {
    const path = keep(`mirror-${axis}.heic`, simple([codePointsProperty(p3), mirrorProperty(axis)]))
    expect([...(await decodePhoto(path)).pixels.data]).toEqual(expected(width, height, mirrored))
  })
})

describe('which colours the numbers mean', () => {
  // curve of IEC 61966-2-1 as a parametric curve of type 3
  const icc = matrixProfile(parametricTag(3, [2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045]))

  it('an ICC profile is kept byte for byte, also in the pictures made of the photo', async () => {
    const path = keep('icc.heic', simple([iccProperty(icc)]))
    expect(await inspectPhoto(path)).toMatchObject({ profile: 'sRGB', profileAssumed: false, cautions: [] })
    const [view, cut] = [join(folder, 'icc-view.webp'), join(folder, 'icc-cut.webp')]
    await makeRendition(path, 'view', view)
    await makeCut(path, { kind: 'round', centre: [28, 20], radius: 12 }, cut)
    for (const made of [view, cut]) expect((await sharp(made).metadata()).icc?.equals(icc)).toBe(true)
    expect(await sharp(view).metadata()).toMatchObject({ width, height, format: 'webp' })
  })

  // names by ITU-T H.273 tables 2 and 3; numbers by colorjs.io
  it.each([
    ['Display P3', [12, 13, 0], 'p3'],
    ['sRGB', [1, 13, 0], 'srgb'],
    ['Rec. 2020', [9, 14, 0], 'rec2020'],
  ] as const)('%s given as code points alone', async (name, points, space) => {
    const path = keep('points.heic', simple([codePointsProperty(points)]))
    expect(await inspectPhoto(path)).toMatchObject({ profile: name, profileAssumed: false, cautions: [] })
    const { profile } = await decodePhoto(path)
    const sample = [0.8, 0.3, 0.1] as [number, number, number]
    const linear = sample.map((v, c) => profile.decode[c]?.(v) ?? 0)
    const xyz = [0, 3, 6].map((row) => linear.reduce((sum, v, c) => sum + v * (profile.toXyzD50[row + c] ?? 0), 0))
    // colorjs gives Rec. 2020 a screen's curve; the camera's, BT.2020-2 table 4, is undone by hand
    const camera = sample.map((v) => (v < 0.0812 ? v / 4.5 : ((v + 0.0993) / 1.0993) ** (1 / 0.45)))
    const colour =
      space === 'rec2020' ? new Color('rec2020-linear', camera as [number, number, number]) : new Color(space, sample)
    colour.to('xyz-d50').coords.forEach((v, i) => expect(xyz[i]).toBeCloseTo(v ?? 0, 3))
  })

  it('BT.709, by its own curve', async () => {
    const path = keep('709.heic', simple([codePointsProperty([1, 1, 0])]))
    expect(await inspectPhoto(path)).toMatchObject({ profile: 'BT.709', profileAssumed: false })
    // ITU-R BT.709-6 item 1.2: V = 1.099 L^0.45 − 0.099, and 4.5 L below 0.018
    const { profile } = await decodePhoto(path)
    for (const light of [0.01, 0.05, 0.18, 0.5, 1]) {
      const volts = light < 0.018 ? 4.5 * light : 1.099 * light ** 0.45 - 0.099
      expect(profile.decode[1](volts)).toBeCloseTo(light, 3)
    }
  })

  it('pictures made of a photo without ICC profile get one that says the same', async () => {
    const red: At = () => [255, 0, 0]
    const path = keep('red.heic', heifFile([pictureItem(1, rgbPicture(64, 64, red), [codePointsProperty(p3)])], 1))
    const view = join(folder, 'red-view.webp')
    await makeRendition(path, 'view', view)
    // lcms, inside sharp, turns Display P3 into sRGB by it; colorjs.io by the standard
    const { icc: written } = await sharp(view).metadata()
    expect(written).toBeDefined()
    const wide = Buffer.from([150, 150, 150, 120, 160, 110])
    const tagged = await sharp(wide, { raw: { width: 2, height: 1, channels: 3 } })
      .png()
      .toBuffer()
    const converted = await sharp(withIcc(tagged, written as Buffer))
      .toColourspace('srgb')
      .raw()
      .toBuffer()
    const reference = [new Color('p3', [150, 150, 150].map((v) => v / 255) as [number, number, number])]
    reference.push(new Color('p3', [120, 160, 110].map((v) => v / 255) as [number, number, number]))
    const wanted = reference.flatMap((colour) => colour.to('srgb').coords.map((v) => 255 * (v ?? 0)))
    wanted.forEach((v, i) => expect(Math.abs((converted[i] ?? 0) - v)).toBeLessThanOrEqual(1.5))
  })

  it.each([
    ['unspecified', [codePointsProperty([2, 2, 0])]],
    ['nothing', []],
  ])('%s is read as sRGB, with a note', async (_, properties) => {
    const facts = await inspectPhoto(keep('unknown.heic', simple(properties)))
    expect(facts).toMatchObject({ profile: 'sRGB', profileAssumed: true })
    expect(facts.cautions).toMatchObject([{ code: 'photo/untagged', weight: 'note' }])
  })
})

describe('a gain map beside the picture', () => {
  const half = rgbPicture(32, 32, () => [9, 9, 9])

  it.each([
    ['as an auxiliary picture', 'urn:example:photo:2020:aux:hdrgainmap', null],
    ['as a tone-mapped item', null, 'tmap'],
  ])('%s is passed over, with a note', async (_, auxiliary, type) => {
    const other: HeifItem = auxiliary
      ? { ...pictureItem(2, half, [auxiliaryProperty(auxiliary)]), refers: { type: 'auxl', to: [1] }, hidden: true }
      : { id: 2, type: type ?? '', data: Buffer.alloc(62), refers: { type: 'dimg', to: [1] } }
    const path = keep('gain.heic', simple(undefined, {}, [other]))
    const { cautions } = await inspectPhoto(path)
    expect(cautions).toMatchObject([{ code: 'photo/gain-map-ignored', weight: 'note' }])
    expect([...(await decodePhoto(path)).pixels.data]).toEqual(expected(width, height, busy))
  })

  it('an alpha plane is none', async () => {
    const alpha = 'urn:mpeg:mpegB:cicp:systems:auxiliary:alpha'
    const plane: PcmPicture = {
      ...rgbPicture(width, height, busy),
      chroma: 0,
      planes: [new Uint8Array(64 * 48).fill(255)],
    }
    const item: HeifItem = { ...pictureItem(2, plane, [auxiliaryProperty(alpha)]), refers: { type: 'auxl', to: [1] } }
    const path = keep('alpha.heic', simple(undefined, {}, [item]))
    expect((await inspectPhoto(path)).cautions).toEqual([])
    expect([...(await decodePhoto(path)).pixels.data]).toEqual(expected(width, height, busy))
  })
})

/** A PNG with a profile that sharp did not put there (it would convert the numbers). */
function withIcc(png: Buffer, icc: Buffer): Buffer {
  const body = Buffer.concat([Buffer.from('iCCPphoto\0\0', 'latin1'), deflateSync(icc)])
  const ends = Buffer.alloc(8)
  ends.writeUInt32BE(body.length - 4, 0)
  ends.writeUInt32BE(crc32(body), 4)
  return Buffer.concat([png.subarray(0, 33), ends.subarray(0, 4), body, ends.subarray(4), png.subarray(33)])
}
