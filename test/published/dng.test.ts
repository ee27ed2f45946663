/**
 * Raw files built after Digital Negative 1.6 and TIFF 6.0: the largest developed picture inside is read, and nothing is
 * taken for it that is not.
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import sharp from 'sharp'
import { afterAll, describe, expect, it } from 'vitest'
import { makeCut } from '../../electron/photos/cuts.ts'
import { decodePhoto } from '../../electron/photos/decode.ts'
import { inspectPhoto } from '../../electron/photos/inspect.ts'
import { makeRendition } from '../../electron/photos/renditions.ts'
import type { Refusal } from '../../shared-core/contract/refusal.ts'
import { type Entry, tiffBytes } from './dng/tiff-bytes.ts'

const folder = mkdtempSync(join(tmpdir(), 'dng-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const keep = (name: string, bytes: Uint8Array) => {
  const path = join(folder, name)
  writeFileSync(path, bytes)
  return path
}
const codeOf = (path: string): Promise<string> =>
  inspectPhoto(path).then(
    () => 'taken',
    (error: unknown) => (error as Refusal).code,
  )

/** Left half of one colour, right half of another. */
async function picture(width: number, height: number, left: number[], right: number[], tag?: 'p3'): Promise<Buffer> {
  const pixels = Buffer.from(
    Array.from({ length: width * height }, (_, i) => (i % width < width / 2 ? left : right)).flat(),
  )
  const image = sharp(pixels, { raw: { width, height, channels: 3 } })
  return (tag ? image.withIccProfile(tag) : image).jpeg({ quality: 98, chromaSubsampling: '4:4:4' }).toBuffer()
}

// tag numbers: TIFF 6.0 appendix A, Digital Negative 1.6 chapter 4
const one = (tag: number, value: number): Entry => ({ tag, type: 'long', values: [value] })
const version: Entry = { tag: 50706, type: 'byte', values: [1, 6, 0, 0] }
const preview = (jpeg: Buffer, width: number, height: number, more: Entry[] = []): Entry[] => [
  one(254, 1),
  one(256, width),
  one(257, height),
  one(259, 7),
  one(262, 6),
  { tag: 273, type: 'place', of: jpeg },
  one(279, jpeg.length),
  ...more,
]
/** What the sensor saw, coded as a JPEG too: larger than any preview, and no picture. */
const sensor = (jpeg: Buffer): Entry[] => [
  ...preview(jpeg, 4000, 3000).filter(({ tag }) => ![254, 262].includes(tag)),
  one(254, 0),
  one(262, 32803),
]

const [grey, rust] = [
  [128, 128, 128],
  [160, 70, 40],
]
const small = await picture(160, 120, [0, 0, 255], [0, 0, 255])
const middle = await picture(600, 400, [0, 255, 0], [0, 255, 0])
const large = await picture(1200, 800, rust, grey)
const raw = await picture(2000, 1500, [255, 0, 255], [255, 0, 255])

const dng = (below: Entry[][], more: Entry[] = []) =>
  tiffBytes([
    version,
    ...preview(small, 160, 120),
    { tag: 271, type: 'ascii', text: 'Workshop' },
    { tag: 272, type: 'ascii', text: 'Pocket camera' },
    { tag: 330, type: 'below', directories: below },
    ...more,
  ])

const near = (found: ArrayLike<number>, wanted: number[]) =>
  wanted.forEach((v, c) => expect(Math.abs((found[c] ?? 0) - v)).toBeLessThanOrEqual(3))

describe('the picture inside a raw file', () => {
  it('the largest developed one is read, with a note; not the thumbnail, not the sensor’s numbers', async () => {
    const path = keep('a.dng', dng([sensor(raw), preview(middle, 600, 400), preview(large, 1200, 800)]))
    const facts = await inspectPhoto(path)
    expect(facts).toMatchObject({ format: 'dng', width: 1200, height: 800, bits: 8, profileAssumed: true })
    expect(facts.exposure.camera).toBe('Workshop Pocket camera')
    expect(facts.cautions).toMatchObject([
      { code: 'photo/preview-of-raw', weight: 'note' },
      { code: 'photo/untagged', weight: 'note' },
    ])
    expect(facts.cautions[0]?.message).toMatch(/1200 × 800/)
    const { pixels } = await decodePhoto(path)
    near(pixels.data, rust)
    near((await decodePhoto(path, { left: 1000, top: 10, width: 2, height: 2 })).pixels.data, grey)
  })

  it('its own profile is kept; also where only a tag of the raw file names it', async () => {
    const tagged = await picture(1200, 800, rust, grey, 'p3')
    const own = keep('p3.dng', dng([preview(tagged, 1200, 800, [one(50970, 3)])]))
    expect(await inspectPhoto(own)).toMatchObject({ profile: 'Display P3', profileAssumed: false })
    // PreviewColorSpace 3
    const named = keep('named.dng', dng([preview(large, 1200, 800, [one(50970, 3)])]))
    expect(await inspectPhoto(named)).toMatchObject({ profile: 'Adobe RGB (1998)', profileAssumed: false })
    const view = join(folder, 'named.webp')
    await makeRendition(named, 'view', view)
    expect((await sharp(view).metadata()).icc).toBeDefined()
    near(await sharp(view, { ignoreIcc: true }).raw().toBuffer(), rust)
  })

  // EXIF 2.32 tag 274: 6 is turned a quarter clockwise to be upright, 3 by a half, 8 a quarter against the clock
  it.each([
    [1, 1200, 800, [5, 5], [1190, 5]],
    [3, 1200, 800, [1190, 790], [5, 790]],
    [6, 800, 1200, [790, 5], [790, 1190]],
    [8, 800, 1200, [5, 1190], [5, 5]],
  ])('orientation %i of the raw file turns its picture', async (orientation, width, height, left, right) => {
    const path = keep(`turned-${orientation}.dng`, dng([preview(large, 1200, 800)], [one(274, orientation)]))
    expect(await inspectPhoto(path)).toMatchObject({ width, height })
    const at = async ([x = 0, y = 0]: number[]) =>
      (await decodePhoto(path, { left: x, top: y, width: 1, height: 1 })).pixels.data
    near(await at(left), rust)
    near(await at(right), grey)
    const cut = join(folder, 'cut.webp')
    await makeCut(
      path,
      {
        kind: 'round',
        centre: [left[0] ?? 0, 600].map((v) => Math.min(700, Math.max(100, v))) as [number, number],
        radius: 40,
      },
      cut,
    )
    expect(await sharp(cut).metadata()).toMatchObject({ format: 'webp' })
  })

  it('a picture that says itself which way up it is counts alone', async () => {
    const turned = await sharp(large).withMetadata({ orientation: 8 }).jpeg({ quality: 98 }).toBuffer()
    const path = keep('own.dng', dng([preview(turned, 1200, 800)], [one(274, 6)]))
    const { pixels } = await decodePhoto(path, { left: 5, top: 1190, width: 1, height: 1 })
    expect([pixels.width, pixels.height]).toEqual([1, 1])
    near(pixels.data, rust)
  })

  it('a picture with EXIF that does not say so gets the raw file’s word', async () => {
    // EXIF 2.32 with one entry, ImageDescription "a"
    const exif = Buffer.from('Exif\0\0MM\0*\0\0\0\x08\0\x01\x01\x0e\0\x02\0\0\0\x02a\0\0\0\0\0\0\0', 'latin1')
    const head = Buffer.from([0xff, 0xe1, 0, exif.length + 2])
    const dated = Buffer.concat([large.subarray(0, 2), head, exif, large.subarray(2)])
    expect((await sharp(dated).metadata()).exif).toBeDefined()
    const path = keep('dated.dng', dng([preview(dated, 1200, 800)], [one(274, 6)]))
    expect(await inspectPhoto(path)).toMatchObject({ width: 800, height: 1200 })
  })
})

describe('raw files without a picture to read', () => {
  it('only a thumbnail', async () => expect(await codeOf(keep('t.dng', dng([])))).toBe('photo/raw-no-preview'))
  it('only what the sensor saw', async () =>
    expect(await codeOf(keep('s.dng', dng([sensor(raw)])))).toBe('photo/raw-no-preview'))
  it('a picture that is cut short', async () =>
    expect(await codeOf(keep('c.dng', dng([preview(large.subarray(0, 5000), 1200, 800)])))).toBe('photo/damaged'))

  it('directories that lead back to themselves, or out of the file', async () => {
    const loop = Buffer.from(dng([preview(small, 160, 120)]))
    const count = loop.readUInt16LE(8)
    // the chain's next directory is the first one again
    loop.writeUInt32LE(8, 10 + 12 * count)
    expect(await codeOf(keep('loop.dng', loop))).toBe('photo/raw-no-preview')
    const out = Buffer.from(loop)
    out.writeUInt32LE(0xfffffff0, 10 + 12 * count)
    expect(await codeOf(keep('out.dng', out))).toBe('photo/raw-no-preview')
  })

  it('any cut of a whole file is an answer, not a crash', async () => {
    const whole = dng([sensor(raw), preview(large, 1200, 800)])
    for (let size = 12; size < whole.length; size += Math.ceil(whole.length / 40))
      expect(await codeOf(keep('cut.dng', whole.subarray(0, size)))).toMatch(/^(taken|photo\/)/)
  })
})
