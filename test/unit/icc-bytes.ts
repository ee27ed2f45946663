/** Writes small ICC profiles for tests, after ICC.1:2010 clauses 7 and 10. Numbers big-endian. */

export type TagBytes = readonly [signature: string, body: Buffer]

const fixed = (v: number): Buffer => {
  const b = Buffer.alloc(4)
  b.writeInt32BE(Math.round(v * 65_536))
  return b
}
const u32 = (v: number): Buffer => {
  const b = Buffer.alloc(4)
  b.writeUInt32BE(v)
  return b
}
const u16 = (v: number): Buffer => {
  const b = Buffer.alloc(2)
  b.writeUInt16BE(v)
  return b
}
const reserved = Buffer.alloc(4)

export const xyzTag = (x: number, y: number, z: number): Buffer =>
  Buffer.concat([Buffer.from('XYZ '), reserved, fixed(x), fixed(y), fixed(z)])

export const curveTag = (entries: readonly number[]): Buffer =>
  Buffer.concat([Buffer.from('curv'), reserved, u32(entries.length), ...entries.map(u16)])

export const parametricTag = (type: number, values: readonly number[]): Buffer =>
  Buffer.concat([Buffer.from('para'), reserved, u16(type), u16(0), ...values.map(fixed)])

/** `desc` of version 2: ASCII, then empty Unicode and script parts. */
export const descriptionTag = (text: string): Buffer => {
  const ascii = Buffer.from(`${text}\0`, 'latin1')
  return Buffer.concat([Buffer.from('desc'), reserved, u32(ascii.length), ascii, Buffer.alloc(4 + 4 + 2 + 1 + 67)])
}

/** `mluc` of version 4. */
export const localisedTag = (records: readonly (readonly [language: string, text: string])[]): Buffer => {
  const texts = records.map(([, text]) => Buffer.from(text, 'utf16le').swap16())
  let at = 16 + 12 * records.length
  const heads = records.map(([language], i) => {
    const size = texts[i]?.length ?? 0
    const head = Buffer.concat([Buffer.from(language), u32(size), u32(at)])
    at += size
    return head
  })
  return Buffer.concat([Buffer.from('mluc'), reserved, u32(records.length), u32(12), ...heads, ...texts])
}

export type ProfileShape = { version?: number; space?: string; connection?: string }

export function profileBytes(tags: readonly TagBytes[], shape: ProfileShape = {}): Buffer {
  const header = Buffer.alloc(128)
  header.writeUInt8(shape.version ?? 4, 8)
  header.write('mntr', 12)
  header.write(shape.space ?? 'RGB ', 16)
  header.write(shape.connection ?? 'XYZ ', 20)
  header.write('acsp', 36)
  // the header's own copy of the D50 white
  xyzTag(0.9642, 1, 0.8249).copy(header, 68, 8)
  const padded = tags.map(([, body]) => Buffer.concat([body, Buffer.alloc((4 - (body.length % 4)) % 4)]))
  let at = 128 + 4 + 12 * tags.length
  const entries = tags.map(([signature, body], i) => {
    const entry = Buffer.concat([Buffer.from(signature), u32(at), u32(body.length)])
    at += padded[i]?.length ?? 0
    return entry
  })
  header.writeUInt32BE(at, 0)
  return Buffer.concat([header, u32(tags.length), ...entries, ...padded])
}

/** Colorants of sRGB under D50 as IEC 61966-2-1 profiles of version 4 carry them (they sum to 0.9642, 1, 0.8249). */
export const srgbColorants: readonly TagBytes[] = [
  ['rXYZ', xyzTag(0.43607, 0.22249, 0.01392)],
  ['gXYZ', xyzTag(0.38515, 0.71687, 0.09708)],
  ['bXYZ', xyzTag(0.14307, 0.06061, 0.7141)],
]

/** An RGB matrix profile with one curve for the three channels. */
export const matrixProfile = (curve: Buffer, name = descriptionTag('Shop scanner'), shape: ProfileShape = {}): Buffer =>
  profileBytes(
    [
      ['desc', name],
      ['wtpt', xyzTag(0.9642, 1, 0.8249)],
      ['cprt', shape.version === 2 ? textTag('none') : localisedTag([['enUS', 'none']])],
      ...srgbColorants,
      ['rTRC', curve],
      ['gTRC', curve],
      ['bTRC', curve],
    ],
    shape,
  )

const textTag = (text: string): Buffer => Buffer.concat([Buffer.from('text'), reserved, Buffer.from(`${text}\0`)])
