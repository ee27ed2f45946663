import { iccCurve } from './icc-curve.ts'
import { whites } from './lab.ts'
import { determinant3, type Matrix3, type Vector3 } from './matrix.ts'
import { type RgbProfile, recogniseProfile } from './profile.ts'

/**
 * `not-icc`: no ICC profile at all. `not-rgb`: a profile for grey, CMYK and the like. `lut-only`: RGB through tables
 * alone, without primaries. `broken`: cut short or contradicting itself.
 */
export type IccResult =
  | { readonly ok: true; readonly profile: RgbProfile }
  | { readonly ok: false; readonly why: 'not-icc' | 'not-rgb' | 'lut-only' | 'broken' }

/** Header, and the first byte after the tag count (ICC.1:2010 clauses 7.2 and 7.3). */
const headerBytes = 128
const tableStart = headerBytes + 4
/** Real profiles carry a few dozen tags. */
const mostTags = 1000

/** Colorants add up to D50 but for rounding; further off, their numbers mean something else. */
const whiteTolerance = 0.02

type Tag = { readonly view: DataView; readonly type: string }

function ascii(view: DataView, at: number, count: number): string {
  let text = ''
  for (let i = at; i < at + count; i++) text += String.fromCharCode(view.getUint8(i))
  return text
}

/** Every tag whose bytes lie inside the profile, or null when one does not. */
function readTags(view: DataView): Map<string, Tag> | null {
  const count = view.getUint32(headerBytes)
  if (count > mostTags || tableStart + count * 12 > view.byteLength) return null
  const tags = new Map<string, Tag>()
  for (let i = 0; i < count; i++) {
    const entry = tableStart + i * 12
    const start = view.getUint32(entry + 4)
    const size = view.getUint32(entry + 8)
    if (size < 8 || start < headerBytes || start + size > view.byteLength) return null
    const body = new DataView(view.buffer, view.byteOffset + start, size)
    tags.set(ascii(view, entry, 4), { view: body, type: ascii(body, 0, 4) })
  }
  return tags
}

function readXyz(tag: Tag): Vector3 | null {
  if (tag.type !== 'XYZ ' || tag.view.byteLength < 20) return null
  const fixed = (at: number) => tag.view.getInt32(at) / 65_536
  return [fixed(8), fixed(12), fixed(16)]
}

/** ICC.1:2010 clause 10.13: the English text, else the first. */
function readLocalised(view: DataView): string | null {
  if (view.byteLength < 28) return null
  const count = view.getUint32(8)
  const recordSize = view.getUint32(12)
  if (count < 1 || count > mostTags || recordSize < 12 || 16 + count * recordSize > view.byteLength) return null
  let record = 16
  for (let i = 0; i < count; i++) {
    if (ascii(view, 16 + i * recordSize, 2) === 'en') {
      record = 16 + i * recordSize
      break
    }
  }
  const size = view.getUint32(record + 4)
  const start = view.getUint32(record + 8)
  if (start + size > view.byteLength) return null
  let text = ''
  for (let i = 0; i + 1 < Math.min(size, 400); i += 2) text += String.fromCharCode(view.getUint16(start + i))
  return text
}

/** The profile's own description: `desc` of version 2 (ICC.1:2001 clause 6.5.17), `mluc` of version 4. */
function readName(tag: Tag | undefined): string {
  let text: string | null = null
  if (tag?.type === 'mluc') text = readLocalised(tag.view)
  else if (tag?.type === 'desc' && tag.view.byteLength >= 12) {
    const size = Math.min(tag.view.getUint32(8), tag.view.byteLength - 12, 200)
    text = ascii(tag.view, 12, size)
  }
  // the text goes on screen: control characters and lone surrogates have no business there
  const clean = (text ?? '').split('\0')[0]?.replace(/\p{C}/gu, '').trim().slice(0, 100) ?? ''
  return clean === '' ? 'unnamed profile' : clean
}

const broken: IccResult = { ok: false, why: 'broken' }

/**
 * Reads an RGB matrix profile, version 2 or 4, out of its bytes. A profile that has tables (A2B0) beside its primaries
 * is read by its primaries.
 * @param bytes  anything at all: whatever is wrong is a value, and the work is bounded by the length
 * @throws       never
 * Source: ICC.1:2010 (version 4.3) and ICC.1:2001-04 (version 2.4).
 */
export function parseIcc(bytes: Uint8Array): IccResult {
  const whole = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  if (whole.byteLength < tableStart || ascii(whole, 36, 4) !== 'acsp') return { ok: false, why: 'not-icc' }
  if (ascii(whole, 16, 4) !== 'RGB ') return { ok: false, why: 'not-rgb' }
  const declared = whole.getUint32(0)
  if (declared < tableStart || declared > whole.byteLength) return broken
  const tags = readTags(new DataView(bytes.buffer, bytes.byteOffset, declared))
  if (tags === null) return broken

  const needed = ['rXYZ', 'gXYZ', 'bXYZ', 'rTRC', 'gTRC', 'bTRC'].map((name) => tags.get(name))
  const [red, green, blue, redTrc, greenTrc, blueTrc] = needed
  if (!red || !green || !blue || !redTrc || !greenTrc || !blueTrc) {
    const isLut = needed.every((tag) => tag === undefined) && ['A2B0', 'A2B1', 'D2B0'].some((name) => tags.has(name))
    return isLut ? { ok: false, why: 'lut-only' } : broken
  }
  // a matrix leads to XYZ; with a Lab connection space the colorants cannot be meant
  if (ascii(whole, 20, 4) !== 'XYZ ') return tags.has('A2B0') ? { ok: false, why: 'lut-only' } : broken

  const r = readXyz(red)
  const g = readXyz(green)
  const b = readXyz(blue)
  const decode = [redTrc, greenTrc, blueTrc].map((tag) => iccCurve(tag.view))
  const [dr, dg, db] = decode
  if (!r || !g || !b || !dr || !dg || !db) return broken
  const toXyzD50: Matrix3 = [r[0], g[0], b[0], r[1], g[1], b[1], r[2], g[2], b[2]]
  const white = [whites.D50.x, whites.D50.y, whites.D50.z]
  const isWhite = white.every((w, i) => Math.abs((r[i] ?? 0) + (g[i] ?? 0) + (b[i] ?? 0) - w) <= whiteTolerance)
  if (!isWhite || Math.abs(determinant3(toXyzD50)) < 1e-6) return broken

  const name = recogniseProfile([dr, dg, db], toXyzD50) ?? readName(tags.get('desc'))
  return { ok: true, profile: { name, decode: [dr, dg, db], toXyzD50 } }
}
