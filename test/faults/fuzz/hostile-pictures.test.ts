/**
 * Pictures made to do harm by being opened: a few kilobytes that unpack to gigabytes or keep a decoder busy for minutes, and
 * files that are two things at once. Built here after PNG (third edition), ISO/IEC 10918-1, TIFF 6.0 and ISO/IEC 14496-12.
 */
import { truncateSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { crc32, deflateSync } from 'node:zlib'
import sharp from 'sharp'
import { describe, expect, it } from 'vitest'
import { inspectPhoto } from '../../../electron/photos/inspect.ts'
import { makeRendition } from '../../../electron/photos/renditions.ts'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import { workFolder } from '../../rack/fresh.ts'
import { curveTag, matrixProfile, profileBytes } from '../../unit/icc-bytes.ts'
import { jpeg, png } from './containers.ts'
import { exifBlock, pictureSeeds, profileSeeds } from './seeds.ts'

const folder = workFolder()
const keep = (name: string, bytes: Uint8Array): string => {
  const path = join(folder, name)
  writeFileSync(path, bytes)
  return path
}
const codeOf = (path: string): Promise<string> =>
  inspectPhoto(path).then(
    () => 'taken',
    (error: unknown) => {
      expect(error).toBeInstanceOf(Refusal)
      expect((error as Refusal).remedy.length).toBeGreaterThan(10)
      return (error as Refusal).code
    },
  )

const u32 = (value: number): Buffer => {
  const bytes = Buffer.alloc(4)
  bytes.writeUInt32BE(value)
  return bytes
}
const latin = (text: string) => Buffer.from(text, 'latin1')
/** Colour type 2 (RGB) or 6 (with alpha) of PNG's IHDR, clause 11.2.1. */
const header = (width: number, height: number, { bits = 8, type = 2, interlaced = false } = {}) => ({
  name: 'IHDR',
  body: Buffer.concat([u32(width), u32(height), Buffer.from([bits, type, 0, 0, interlaced ? 1 : 0])]),
})
const smallPicture = { name: 'IDAT', body: deflateSync(Buffer.alloc(64 * (1 + 64 * 3))) }
const end = { name: 'IEND', body: Buffer.alloc(0) }

describe('what unpacks to more than it looks like', () => {
  const packed = deflateSync(Buffer.alloc(10_000_000, 65))
  const note = (i: number) => latin(`Note ${i}\0`)

  it('a PNG’s packed texts: kilobytes for megabytes each', async () => {
    const texts = [1, 2, 3].map((i) => ({ name: 'zTXt', body: Buffer.concat([note(i), Buffer.alloc(1), packed]) }))
    const bytes = png.join([header(64, 64), ...texts, smallPicture, end])
    expect(bytes.length).toBeLessThan(100_000)
    expect(await codeOf(keep('ztxt.png', bytes))).toBe('photo/harmful')
  })

  it('the same as international text', async () => {
    const body = Buffer.concat([latin('XML:com.adobe.xmp\0\x01\0\0\0'), packed])
    const bytes = png.join([header(64, 64), { name: 'iTXt', body }, smallPicture, end])
    expect(await codeOf(keep('itxt.png', bytes))).toBe('photo/harmful')
  })

  it('thousands of small ones', async () => {
    const texts = Array.from({ length: 600 }, (_, i) => ({ name: 'tEXt', body: note(i) }))
    expect(await codeOf(keep('many.png', png.join([header(64, 64), ...texts, smallPicture, end])))).toBe(
      'photo/harmful',
    )
  })

  it('ordinary notes, packed and plain, are none', async () => {
    const body = Buffer.concat([latin('Comment\0\0'), deflateSync(Buffer.alloc(5000, 66))])
    const texts = [
      { name: 'zTXt', body },
      { name: 'tEXt', body: latin('Software\0an editor') },
      { name: 'iTXt', body: latin('XML:com.adobe.xmp\0\0\0\0\0<x:xmpmeta/>') },
    ]
    expect(await codeOf(keep('notes.png', png.join([header(64, 64), ...texts, smallPicture, end])))).toBe('taken')
  })

  it('more pixels than anybody decodes, told from the header', async () => {
    expect(await codeOf(keep('huge.png', png.join([header(60_000, 60_000), smallPicture, end])))).toBe(
      'photo/too-large',
    )
  })

  it('as many as are taken, in a form that is held in memory as a whole', async () => {
    const laced = header(14_142, 14_000, { bits: 16, type: 6, interlaced: true })
    expect(await codeOf(keep('laced.png', png.join([laced, smallPicture, end])))).toBe('photo/too-large')
    const [avif] = (await pictureSeeds()).avif as [Buffer]
    const wide = Buffer.from(avif)
    // `ispe` of ISO/IEC 23008-12 clause 6.5.3: version and flags, then width and height
    for (let at = wide.indexOf('ispe'); at >= 0; at = wide.indexOf('ispe', at + 4)) {
      wide.writeUInt32BE(10_000, at + 8)
      wide.writeUInt32BE(10_000, at + 12)
    }
    expect(await codeOf(keep('wide.avif', wide))).toBe('photo/too-large')
  })

  it('a profile of megabytes is not carried into every small picture', async () => {
    const long = Buffer.concat([profileSeeds[0] as Buffer, Buffer.alloc(300_000)])
    long.writeUInt32BE(long.length, 0)
    const plain = await sharp({ create: { width: 64, height: 64, channels: 3, background: '#a63' } })
      .jpeg()
      .toBuffer()
    const pieces = Array.from({ length: Math.ceil(long.length / 60_000) }).map((_, i, all) => ({
      name: 'e2',
      body: Buffer.concat([
        latin('ICC_PROFILE\0'),
        Buffer.from([i + 1, all.length]),
        long.subarray(i * 60_000, (i + 1) * 60_000),
      ]),
    }))
    const path = keep('long.jpg', jpeg.join([...pieces, ...jpeg.split(plain)]))
    expect(await inspectPhoto(path)).toMatchObject({ profileAssumed: false })
    await makeRendition(path, 'thumb', join(folder, 'long.webp'))
    const { icc, size } = await sharp(join(folder, 'long.webp')).metadata()
    expect(icc?.length).toBeGreaterThan(500)
    expect(icc?.length).toBeLessThan(20_000)
    expect(size ?? 0).toBeLessThan(20_000)
  })
})

describe('what keeps a decoder busy', () => {
  /** Marks of ISO/IEC 10918-1 table B.1; one component, one code for "nothing until the end of so many blocks". */
  function progressive(width: number, height: number, scans: number): Uint8Array {
    const u16 = (value: number) => Buffer.from([value >> 8, value & 255])
    const frame = Buffer.concat([Buffer.from([8]), u16(height), u16(width), Buffer.from([1, 1, 0x11, 0])])
    const table = (kind: number, symbol: number) => Buffer.from([kind << 4, 1, ...Array<number>(15).fill(0), symbol])
    const scan = (from: number, to: number, high: number, low: number) => ({
      name: 'da',
      body: Buffer.concat([Buffer.from([1, 1, 0, from, to, (high << 4) | low]), Buffer.alloc(40)]),
    })
    const passes = Array.from({ length: scans }, (_, i) => {
      const low = 13 - Math.floor(i / 63)
      return scan(1 + (i % 63), 1 + (i % 63), low === 13 ? 0 : low + 1, low)
    })
    return Buffer.concat([
      jpeg.join([
        { name: 'db', body: Buffer.concat([Buffer.alloc(1), Buffer.alloc(64, 1)]) },
        { name: 'c2', body: frame },
        { name: 'c4', body: table(0, 0) },
        { name: 'c4', body: table(1, 0xe0) },
        scan(0, 0, 0, 0),
        ...passes,
      ]),
      Buffer.from([0xff, 0xd9]),
    ])
  }

  it('hundreds of passes over a large picture', async () => {
    expect(await codeOf(keep('passes.jpg', progressive(14_000, 14_000, 600)))).toBe('photo/harmful')
  })

  it('an ordinary progressive JPEG is none', async () => {
    const pixels = { create: { width: 2000, height: 1500, channels: 3, background: '#a63' } } as const
    const bytes = await sharp(pixels).jpeg({ progressive: true, optimiseScans: true }).toBuffer()
    expect(await codeOf(keep('progressive.jpg', bytes))).toBe('taken')
  })

  it('directories that lead back to themselves, and thousands of pages', async () => {
    const [whole] = (await pictureSeeds()).tiff as [Buffer]
    const looped = Buffer.from(whole)
    const at = looped.readUInt32LE(4)
    looped.writeUInt32LE(at, at + 2 + 12 * looped.readUInt16LE(at))
    expect(await codeOf(keep('loop.tif', looped))).toMatch(/^photo\/|taken/)
    const page = 2 + 12 + 4
    const chain = Buffer.alloc(8 + 20_000 * page)
    chain.write('II*\0\x08\0\0\0', 'latin1')
    for (let i = 0; i < 20_000; i++) {
      chain.writeUInt16LE(1, 8 + i * page)
      chain.writeUInt16LE(256, 10 + i * page)
      chain.writeUInt32LE(i < 19_999 ? 8 + (i + 1) * page : 0, 8 + i * page + 14)
    }
    expect(await codeOf(keep('chain.tif', chain))).toMatch(/^photo\//)
  })

  it('EXIF that counts to billions says nothing, and the photo is taken', async () => {
    const block = exifBlock()
    const at = block.readUInt32LE(4)
    for (let i = 0; i < block.readUInt16LE(at); i++) block.writeUInt32LE(0xffffffff, at + 2 + 12 * i + 4)
    const plain = await sharp({ create: { width: 64, height: 64, channels: 3, background: '#a63' } })
      .jpeg()
      .toBuffer()
    const body = Buffer.concat([latin('Exif\0\0'), block])
    const path = keep('exif.jpg', jpeg.join([{ name: 'e1', body }, ...jpeg.split(plain)]))
    expect((await inspectPhoto(path)).exposure).toMatchObject({ camera: null, iso: null })
  })
})

describe('profiles', () => {
  const withProfile = async (icc: Buffer): Promise<string> => {
    const plain = await sharp({ create: { width: 32, height: 32, channels: 3, background: '#a63' } })
      .jpeg()
      .toBuffer()
    const body = Buffer.concat([latin('ICC_PROFILE\0\x01\x01'), icc])
    return keep('profile.jpg', jpeg.join([{ name: 'e2', body }, ...jpeg.split(plain)]))
  }

  it.each([
    ['offsets beyond its end', (icc: Buffer) => icc.writeUInt32BE(0xfffffff0, 136)],
    ['a count of tags beyond its end', (icc: Buffer) => icc.writeUInt32BE(900, 128)],
    ['primaries of nothing', (icc: Buffer) => icc.fill(0, icc.lastIndexOf('XYZ ') + 8, icc.lastIndexOf('XYZ ') + 20)],
    ['a curve of billions', (icc: Buffer) => icc.writeUInt32BE(0xffffffff, icc.lastIndexOf('curv') + 8)],
  ])('%s: read as sRGB with a caution, and no browser gets it', async (_, spoil) => {
    const icc = Buffer.from(matrixProfile(curveTag([0, 30_000, 65_535])))
    spoil(icc)
    const path = await withProfile(icc)
    const { cautions, profileAssumed } = await inspectPhoto(path)
    expect(profileAssumed).toBe(true)
    expect(cautions.map(({ code }) => code)).toContain('photo/profile-unreadable')
    await makeRendition(path, 'thumb', join(folder, 'profile.webp'))
    expect((await sharp(join(folder, 'profile.webp')).metadata()).icc).toBeUndefined()
  })

  it('no tags at all', async () => {
    expect((await inspectPhoto(await withProfile(profileBytes([])))).profileAssumed).toBe(true)
  })
})

describe('files that are two things at once', () => {
  it.each([
    ['an SVG', '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><image href="file:///etc/passwd"/></svg>'],
    ['a page', '<!doctype html><script>alert(1)</script>'],
    ['a PDF', '%PDF-1.7\n1 0 obj'],
    ['a GIF', 'GIF89a\x01\0\x01\0\0\0\0;'],
    ['a program', 'MZ\x90\0'],
  ])('%s under a photo’s name is no photo', async (_, text) => {
    expect(await codeOf(keep('photo.jpg', latin(text)))).toMatch(/^photo\/(drawing|not-a-picture)$/)
  })

  it('brands of AVIF before something else', async () => {
    const text = 'ftypxxxx\0\0\0\0avif<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"/>'
    expect(await codeOf(keep('poly.avif', Buffer.concat([u32(24), latin(text)])))).toMatch(
      /^photo\/(damaged|not-a-picture)$/,
    )
  })

  it('readers of everything else are shut: neither SVG nor GIF is decoded by the library either', async () => {
    const svg = latin('<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"/>')
    await expect(sharp(svg).metadata()).rejects.toThrow(/unsupported/)
    const gif = await sharp({ create: { width: 8, height: 8, channels: 3, background: '#a63' } })
      .gif()
      .toBuffer()
    await expect(sharp(gif).metadata()).rejects.toThrow(/unsupported/)
  })

  it('a JPEG with an archive behind it is that JPEG; what is shown is a picture made from it', async () => {
    const [photo] = (await pictureSeeds()).jpeg as [Buffer]
    const path = keep('photo.jpg', Buffer.concat([photo, latin('PK\x05\x06'), Buffer.alloc(18)]))
    expect(await codeOf(path)).toBe('taken')
    await makeRendition(path, 'thumb', join(folder, 'shown.webp'))
    expect((await sharp(join(folder, 'shown.webp')).metadata()).format).toBe('webp')
  })
})

it('a file larger than any photo is not looked into', async () => {
  const [photo] = (await pictureSeeds()).tiff as [Buffer]
  const path = keep('sparse.tif', photo)
  truncateSync(path, 4_000_000_000)
  expect(await codeOf(path)).toBe('photo/too-large')
})

it('checksums are made anew by the tests’ own builder', () => {
  // CRC-32 of "IEND" alone, PNG (third edition) clause 5.6 and every PNG file's last four bytes
  expect(crc32('IEND')).toBe(0xae426082)
})
