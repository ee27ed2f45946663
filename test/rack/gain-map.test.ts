/** JPEG and AVIF files with a gain map for HDR screens: the ordinary picture is read, and a note says so. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import sharp, { type Sharp } from 'sharp'
import { afterAll, expect, it } from 'vitest'
import { decodePhoto } from '../../electron/photos/decode.ts'
import { inspectPhoto } from '../../electron/photos/inspect.ts'

const folder = mkdtempSync(join(tmpdir(), 'gain-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const base = await sharp({ create: { width: 64, height: 48, channels: 3, background: { r: 140, g: 90, b: 60 } } })
  .jpeg({ quality: 98 })
  .toBuffer()
const map = await sharp({ create: { width: 32, height: 24, channels: 3, background: '#888' } })
  .jpeg()
  .toBuffer()

/** ISO/IEC 10918-1 B.2.4.6: an application segment right after the start of the picture. */
function withSegment(jpeg: Buffer, marker: number, body: Buffer): Buffer {
  const head = Buffer.from([0xff, marker, 0, 0])
  head.writeUInt16BE(body.length + 2, 2)
  return Buffer.concat([jpeg.subarray(0, 2), head, body, jpeg.subarray(2)])
}
const xmp = (properties: string) =>
  Buffer.from(
    `http://ns.adobe.com/xap/1.0/\0<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description ${properties}/></rdf:RDF></x:xmpmeta>`,
  )
const hdrgm = xmp('xmlns:hdrgm="http://ns.adobe.com/hdr-gain-map/1.0/" hdrgm:Version="1.0"')
const iso = Buffer.from('urn:iso:std:iso:ts:21496:-1\0\0\0\0\0', 'latin1')

/** CIPA DC-007: an index of two pictures; offsets count from the byte order mark inside the segment. */
function multiPicture(first: Buffer, second: Buffer): Buffer {
  const index = Buffer.alloc(4 + 8 + 2 + 36 + 4 + 32)
  index.write('MPF\0II*\0', 0, 'latin1')
  index.writeUInt32LE(8, 8)
  index.writeUInt16LE(3, 12)
  const entry = (slot: number, tag: number, type: number, count: number, value: number) => {
    const at = 14 + 12 * slot
    index.writeUInt16LE(tag, at)
    index.writeUInt16LE(type, at + 2)
    index.writeUInt32LE(count, at + 4)
    index.writeUInt32LE(value, at + 8)
  }
  entry(0, 0xb000, 7, 4, 0x30303130)
  entry(1, 0xb001, 4, 1, 2)
  entry(2, 0xb002, 7, 32, 50)
  const list = 4 + 50
  const size = first.length + index.length + 4
  index.writeUInt32LE(size, list + 4)
  index.writeUInt32LE(second.length, list + 16 + 4)
  // the byte order mark stands eight bytes into the segment, which follows the two bytes of the start
  index.writeUInt32LE(size - 10, list + 16 + 8)
  return Buffer.concat([withSegment(first, 0xe2, index), second])
}

const codes = async (name: string, bytes: Buffer) => {
  const path = join(folder, name)
  writeFileSync(path, bytes)
  const { cautions, width, height } = await inspectPhoto(path)
  expect([width, height]).toEqual([64, 48])
  const { data } = (await decodePhoto(path)).pixels
  ;[140, 90, 60].forEach((v, c) => expect(Math.abs((data[c] ?? 0) - v)).toBeLessThanOrEqual(2))
  return cautions.filter(({ weight }) => weight === 'note').map(({ code }) => code)
}
const told = ['photo/untagged', 'photo/gain-map-ignored']

it.each([
  ['said by the picture’s XMP', withSegment(base, 0xe1, hdrgm)],
  ['said by the picture’s ISO 21496-1 segment', withSegment(base, 0xe2, iso)],
  ['said by the second picture’s XMP', multiPicture(base, withSegment(map, 0xe1, hdrgm))],
  ['said by the second picture’s segment', multiPicture(base, withSegment(map, 0xe2, iso))],
  [
    'said everywhere',
    multiPicture(withSegment(withSegment(base, 0xe2, iso), 0xe1, hdrgm), withSegment(map, 0xe1, hdrgm)),
  ],
])('a JPEG: %s', async (name, bytes) => {
  expect(await codes(`${name.length}.jpg`, bytes)).toEqual(told)
})

it.each([
  ['a second picture that is a preview', multiPicture(base, map)],
  [
    'XMP about something else',
    withSegment(base, 0xe1, xmp('xmlns:dc="http://purl.org/dc/elements/1.1/" dc:title="red"')),
  ],
  [
    'an index that points nowhere',
    withSegment(base, 0xe2, Buffer.from('MPF\0II*\0\xff\xff\xff\xff\0\0\0\0', 'latin1')),
  ],
])('%s is no gain map', async (name, bytes) => {
  expect(await codes(`none-${name.length}.jpg`, bytes)).toEqual(['photo/untagged'])
})

it('an AVIF that names the brand of ISO 21496-1', async () => {
  const avif = await sharp({ create: { width: 64, height: 48, channels: 3, background: { r: 140, g: 90, b: 60 } } })
    .avif({ lossless: true })
    .toBuffer()
  expect(await codes('plain.avif', avif)).not.toContain('photo/gain-map-ignored')
  // one of the brands gives its place to the new one: no offset in the file moves
  const size = avif.readUInt32BE(0)
  expect(avif.toString('latin1', 4, 8)).toBe('ftyp')
  avif.write('tmap', size - 4, 'latin1')
  expect(await codes('gain.avif', avif)).toContain('photo/gain-map-ignored')
})

it('a JPEG written by libultrahdr (in sharp) after ISO 21496-1 is read as its base picture', async () => {
  const [w, h] = [64, 48]
  const pixels = Buffer.from(
    Array.from({ length: w * h }, (_, i) => (i % w < 32 ? [200, 60, 40] : [90, 120, 200])).flat(),
  )
  // sharp has it, its types do not yet
  const picture = sharp(pixels, { raw: { width: w, height: h, channels: 3 } }) as Sharp & { withGainMap(): Sharp }
  const whole = await picture.withGainMap().jpeg({ quality: 98 }).toBuffer()
  const path = join(folder, 'ultra.jpg')
  writeFileSync(path, whole)
  expect((await inspectPhoto(path)).cautions.map(({ code }) => code)).toEqual(['photo/gain-map-ignored'])
  // the base picture alone: what stands before the start of the second one
  const second = whole.indexOf(Buffer.from([0xff, 0xd8, 0xff]), 3)
  expect(second).toBeGreaterThan(0)
  const alone = await sharp(whole.subarray(0, second), { ignoreIcc: true }).raw().toBuffer()
  expect(Buffer.from((await decodePhoto(path)).pixels.data)).toEqual(alone)
  expect(alone.subarray(0, 3)).not.toEqual(alone.subarray(3 * 40, 3 * 40 + 3))
})
