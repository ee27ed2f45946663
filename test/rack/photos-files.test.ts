/** Real files, made here: what is taken, what is refused and with which words. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { crc32, deflateSync } from 'node:zlib'
import Color from 'colorjs.io'
import sharp from 'sharp'
import { afterAll, describe, expect, it } from 'vitest'
import { decodePhoto } from '../../electron/photos/decode.ts'
import { encodeJpeg } from '../../electron/photos/encode.ts'
import { inspectPhoto } from '../../electron/photos/inspect.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { tiffBytes } from '../published/dng/tiff-bytes.ts'
import { curveTag, profileBytes, xyzTag } from '../unit/icc-bytes.ts'

const folder = mkdtempSync(join(tmpdir(), 'photos-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const keep = (name: string, bytes: Uint8Array | string) => {
  const path = join(folder, name)
  writeFileSync(path, bytes)
  return path
}
const refusalOf = async (path: string) => {
  const error: unknown = await inspectPhoto(path).then(
    () => null,
    (thrown: unknown) => thrown,
  )
  expect(error).toBeInstanceOf(Refusal)
  return error as Refusal
}

const [width, height] = [60, 40]
/** Every pixel differs from its neighbours, so that turned, mirrored or shifted pictures are noticed. */
const numbers = (full: number) => Array.from({ length: width * height * 3 }, (_, i) => (i * 7919) % (full + 1))
const eight = Uint8Array.from(numbers(255))
const sixteen = Uint16Array.from(numbers(65535))
const raw8 = () => sharp(eight, { raw: { width, height, channels: 3 } })
const raw16 = () => sharp(sixteen, { raw: { width, height, channels: 3 } }).toColourspace('rgb16')

const numbersAt = (x: number, y: number) => [...eight.subarray((y * width + x) * 3, (y * width + x) * 3 + 3)]

describe('numbers come out as they went in', () => {
  it.each([
    ['16-bit PNG', 'a.png', () => raw16().png().toBuffer(), 16 as const, 'png'],
    ['16-bit TIFF', 'a.tif', () => raw16().tiff({ compression: 'lzw' }).toBuffer(), 16 as const, 'tiff'],
    ['8-bit PNG', 'b.png', () => raw8().png().toBuffer(), 8 as const, 'png'],
    ['lossless WebP', 'b.webp', () => raw8().webp({ lossless: true }).toBuffer(), 8 as const, 'webp'],
  ])('%s', async (_, name, make, bits, format) => {
    const path = keep(name, await make())
    const facts = await inspectPhoto(path)
    expect(facts).toMatchObject({ format, width, height, bits, profile: 'sRGB', profileAssumed: true })
    expect(facts.cautions.map((c) => c.code)).toEqual(['photo/untagged'])
    const { pixels } = await decodePhoto(path)
    expect(pixels).toMatchObject({ width, height, bits, channels: 3 })
    expect([...pixels.data]).toEqual([...(bits === 16 ? sixteen : eight)])
  })

  it('AVIF is taken', async () => {
    const path = keep('c.avif', await raw8().avif({ lossless: true }).toBuffer())
    expect(await inspectPhoto(path)).toMatchObject({ format: 'avif', width, height })
  })

  it('greys are written three times, transparency is dropped', async () => {
    const grey = Uint8Array.from({ length: 600 }, (_, i) => i % 256)
    const path = keep(
      'grey.png',
      await sharp(grey, { raw: { width: 30, height: 20, channels: 1 } })
        .png()
        .toBuffer(),
    )
    const { pixels } = await decodePhoto(path)
    expect([...pixels.data]).toEqual([...grey].flatMap((v) => [v, v, v]))
    const grey16 = Uint16Array.from({ length: 600 }, (_, i) => i * 109)
    const path16 = keep(
      'grey16.png',
      await sharp(grey16, { raw: { width: 30, height: 20, channels: 1 } })
        .toColourspace('grey16')
        .png()
        .toBuffer(),
    )
    const deep = await decodePhoto(path16)
    expect(deep.pixels.bits).toBe(16)
    expect([...deep.pixels.data]).toEqual([...grey16].flatMap((v) => [v, v, v]))
    const clear = Uint8Array.from({ length: 2400 }, (_, i) => (i % 4 === 3 ? 9 : i % 251))
    const path4 = keep(
      'alpha.png',
      await sharp(clear, { raw: { width: 30, height: 20, channels: 4 } })
        .png()
        .toBuffer(),
    )
    expect([...(await decodePhoto(path4)).pixels.data]).toEqual([...clear].filter((_, i) => i % 4 !== 3))
  })

  it('only a part of the upright photo, when asked', async () => {
    const path = keep('part.png', await raw8().png().toBuffer())
    const { pixels } = await decodePhoto(path, { left: 10, top: 5, width: 4, height: 3 })
    expect([...pixels.data.subarray(0, 3)]).toEqual(numbersAt(10, 5))
    expect([...pixels.data.subarray(33)]).toEqual(numbersAt(13, 7))
  })
})

describe('what the file says about itself', () => {
  const exif = {
    camera: 'Pocket camera',
    takenAt: new Date(2024, 4, 31, 14, 2, 10),
    exposureS: 1 / 60,
    fNumber: 1.8,
    iso: 100,
  }
  const flat = { pixels: new Uint8Array(64 * 48 * 3).fill(120), width: 64, height: 48, quality: 95 }

  it('Display P3, exposure and time', async () => {
    const path = keep('p3.jpg', await encodeJpeg({ ...flat, space: 'Display P3', onItsSide: false, exif }))
    const facts = await inspectPhoto(path)
    expect(facts).toMatchObject({ format: 'jpeg', profile: 'Display P3', profileAssumed: false, cautions: [] })
    expect(facts.exposure).toMatchObject({ camera: 'Pocket camera', fNumber: 1.8, iso: 100 })
    expect(facts.exposure.exposureS).toBeCloseTo(1 / 60, 4)
    expect(facts.exposure.takenAt).toMatch(/^2024-05-31T14:02:10/)
  })

  // EXIF 2.32: WhiteBalance 0 is automatic, 1 set by hand; FocalLength in millimetres
  it.each([
    ['0', 'auto'],
    ['1', 'manual'],
  ])('white balance %s is %s, and which lens', async (number, whiteBalance) => {
    const tagged = raw8().withExif({ IFD2: { WhiteBalance: number, FocalLength: '222/100' } })
    const facts = await inspectPhoto(keep(`balance-${number}.jpg`, await tagged.jpeg().toBuffer()))
    expect(facts.exposure).toMatchObject({ whiteBalance, focalLengthMm: 2.22, fNumber: null })
  })

  it('Adobe RGB (1998): recognised by its primaries, and the numbers are read in it', async () => {
    // primaries adapted to D50 and gamma 563/256: Adobe RGB (1998) Color Image Encoding, version 2005-05, annexes B and C
    const curve = curveTag([563])
    const icc = profileBytes([
      ['rXYZ', xyzTag(0.60974, 0.31111, 0.01947)],
      ['gXYZ', xyzTag(0.20528, 0.62567, 0.06087)],
      ['bXYZ', xyzTag(0.14919, 0.06322, 0.74457)],
      ['rTRC', curve],
      ['gTRC', curve],
      ['bTRC', curve],
    ])
    const green = [40, 200, 90]
    const pixels = Uint8Array.from({ length: 64 * 48 * 3 }, (_, i) => green[i % 3]!)
    // sharp converts to the profile it tags with, so the tag goes into a file that was written without one
    const bare = await sharp(pixels, { raw: { width: 64, height: 48, channels: 3 } })
      .png()
      .toBuffer()
    const tag = Buffer.concat([Buffer.from('wide\0\0', 'latin1'), deflateSync(icc)])
    const path = keep('wide.png', Buffer.concat([bare.subarray(0, 33), chunk('iCCP', tag), bare.subarray(33)]))
    expect(await inspectPhoto(path)).toMatchObject({ profile: 'Adobe RGB (1998)', profileAssumed: false, cautions: [] })
    const decoded = await decodePhoto(path)
    expect([...decoded.pixels.data.subarray(0, 3)]).toEqual(green)
    const [r, g, b] = green.map((v, c) => decoded.profile.decode[c]!(v / 255))
    const m = decoded.profile.toXyzD50
    const xyz = [0, 3, 6].map((row) => m[row]! * r! + m[row + 1]! * g! + m[row + 2]! * b!)
    const expected = new Color('a98rgb', green.map((v) => v / 255) as [number, number, number]).to('xyz-d50').coords
    xyz.forEach((v, i) => expect(v).toBeCloseTo(expected[i]!, 3))
  })

  it('a photo stored on its side is upright: size, numbers', async () => {
    // EXIF 2.32: orientation 6, row 0 of the file is the right side of the picture
    const side = await raw8().rotate(270).withMetadata({ orientation: 6 }).png().toBuffer()
    const path = keep('side.png', side)
    expect(await inspectPhoto(path)).toMatchObject({ width, height })
    expect([...(await decodePhoto(path)).pixels.data]).toEqual([...eight])
  })

  it('a profile that cannot be used is said, not passed over', async () => {
    const { width: w, height: h } = flat
    const tagged = await sharp(flat.pixels, { raw: { width: w, height: h, channels: 3 } })
      .withIccProfile('p3')
      .jpeg()
      .toBuffer()
    const at = tagged.indexOf('rXYZ')
    expect(at).toBeGreaterThan(0)
    tagged.write('xxxx', at, 'latin1')
    const facts = await inspectPhoto(keep('broken-profile.jpg', tagged))
    expect(facts).toMatchObject({ profile: 'sRGB', profileAssumed: true })
    expect(facts.cautions.map((c) => c.code)).toEqual(['photo/profile-unreadable'])
  })
})

const chunk = (type: string, data: Buffer) => {
  const body = Buffer.concat([Buffer.from(type, 'latin1'), data])
  const ends = Buffer.alloc(8)
  ends.writeUInt32BE(data.length, 0)
  ends.writeUInt32BE(crc32(body), 4)
  return Buffer.concat([ends.subarray(0, 4), body, ends.subarray(4)])
}

/** PNG 3rd edition, section 11: signature, IHDR, a few bytes of IDAT, IEND. */
function pngHeader(w: number, h: number): Buffer {
  const header = Buffer.alloc(13)
  header.writeUInt32BE(w, 0)
  header.writeUInt32BE(h, 4)
  header.set([8, 2, 0, 0, 0], 8)
  const signature = Buffer.from('\x89PNG\r\n\x1a\n', 'latin1')
  return Buffer.concat([
    signature,
    chunk('IHDR', header),
    chunk('IDAT', deflateSync(Buffer.alloc(100))),
    chunk('IEND', Buffer.alloc(0)),
  ])
}

/** TIFF 6.0 section 2: header, one directory with these tags, each a LONG of value 1; no picture follows. */
function tiffWith(tagNumbers: number[]): Buffer {
  const file = Buffer.alloc(8 + 2 + 12 * tagNumbers.length + 4)
  file.write('II*\0', 0, 'latin1')
  file.writeUInt32LE(8, 4)
  file.writeUInt16LE(tagNumbers.length, 8)
  tagNumbers.forEach((tag, i) => {
    file.writeUInt16LE(tag, 10 + 12 * i)
    file.writeUInt16LE(4, 12 + 12 * i)
    file.writeUInt32LE(1, 14 + 12 * i)
    file.writeUInt32LE(1, 18 + 12 * i)
  })
  return file
}

describe('files that are not taken', async () => {
  const jpeg = await raw8().jpeg({ quality: 95 }).toBuffer()
  const png = await raw8().png().toBuffer()
  const heic = Buffer.from('\0\0\0\x18ftypheic\0\0\0\0mif1heic', 'latin1')
  const frame = { width: 8, height: 8, channels: 3 as const }
  const frames = [
    sharp({ create: { ...frame, background: 'red' } }),
    sharp({ create: { ...frame, background: 'blue' } }),
  ]
  const stack = await Promise.all(frames.map((f) => f.png().toBuffer()))
  const animated = await sharp(stack, { join: { animated: true } })
    .webp()
    .toBuffer()
  const cmyk = await raw8().toColourspace('cmyk').jpeg().toBuffer()
  // Adobe's segment APP14 ends in the transform: 2 is YCCK (ISO/IEC 10918-6 clause 6.5.3)
  const ycck = Buffer.from(cmyk)
  ycck[cmyk.indexOf('Adobe') + 11] = 2
  const cmykTiff = await raw8().toColourspace('cmyk').tiff().toBuffer()
  // TIFF 6.0 section 23: PhotometricInterpretation 8 is CIE L*a*b*
  const long = (tag: number, ...values: number[]) => ({ tag, type: 'long' as const, values })
  const labTiff = tiffBytes([
    long(256, 8),
    long(257, 8),
    { tag: 258, type: 'short', values: [16, 16, 16] },
    long(259, 1),
    long(262, 8),
    { tag: 273, type: 'place', of: Buffer.alloc(384, 100) },
    long(277, 3),
    long(278, 8),
    long(279, 384),
  ])

  it.each([
    ['a text file named .jpg', 'notes.jpg', Buffer.from('4:1 copper + crimson\n'), 'photo/not-a-picture'],
    ['an SVG', 'a.svg', Buffer.from('<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"/>'), 'photo/drawing'],
    ['an SVG named .png', 'svg.png', Buffer.from('<?xml version="1.0"?><svg width="9" height="9"/>'), 'photo/drawing'],
    ['a PDF', 'a.pdf', Buffer.from('%PDF-1.7\n'), 'photo/not-a-picture'],
    ['an empty file', 'empty.jpg', Buffer.alloc(0), 'photo/empty'],
    ['an HEIC photo that ends after its name', 'phone.heic', heic, 'photo/damaged'],
    ['the same named .jpg', 'phone.jpg', heic, 'photo/damaged'],
    ['a JPEG cut in the middle', 'cut.jpg', jpeg.subarray(0, Math.floor(jpeg.length / 2)), 'photo/damaged'],
    ['a JPEG cut near its end', 'cut-late.jpg', jpeg.subarray(0, jpeg.length - 200), 'photo/damaged'],
    ['a PNG cut in the middle', 'cut.png', png.subarray(0, Math.floor(png.length / 2)), 'photo/damaged'],
    ['a JPEG of three bytes', 'three.jpg', jpeg.subarray(0, 3), 'photo/damaged'],
    ['a PNG header of 40,000 × 40,000', 'huge.png', pngHeader(40_000, 40_000), 'photo/too-large'],
    ['a DNG file without a picture', 'raw.dng', tiffWith([254, 50706]), 'photo/raw-no-preview'],
    ['a raw file known by its thumbnail', 'raw.tif', tiffWith([254, 330]), 'photo/raw-later'],
    ['a TIFF of nothing', 'nothing.tif', tiffWith([254]), 'photo/damaged'],
    ['an animation', 'moving.webp', animated, 'photo/many-pictures'],
    ['printing inks', 'inks.jpg', cmyk, 'photo/cmyk'],
    ['printing inks as YCCK', 'ycck.jpg', ycck, 'photo/cmyk'],
    ['printing inks in a TIFF', 'inks.tif', cmykTiff, 'photo/cmyk'],
    ['Lab numbers in a TIFF', 'lab.tif', labTiff, 'photo/not-8-or-16-bit'],
  ])('%s', async (_, name, bytes, code) => {
    const refusal = await refusalOf(keep(name, bytes))
    expect(refusal.code).toBe(code)
    expect(refusal.message).toMatch(/\.$/)
    expect(refusal.remedy.length).toBeGreaterThan(10)
  })

  it('no two reasons are told with the same words', async () => {
    const reasons = [
      keep('w.jpg', 'some text'),
      keep('w.svg', '<svg/>'),
      keep('w0.jpg', ''),
      keep('w-cut.jpg', jpeg.subarray(0, 400)),
      keep('w-huge.png', pngHeader(40_000, 40_000)),
      keep('w-inks.jpg', cmyk),
      keep('w-raw.dng', tiffWith([50706])),
      keep('w-raw.tif', tiffWith([254, 330])),
    ]
    const told = await Promise.all(reasons.map(async (path) => (await refusalOf(path)).message))
    expect(new Set(told).size).toBe(reasons.length)
  })
})
