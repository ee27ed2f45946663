import { Bits } from './bits.ts'
import { type Coded, codePcm, type PcmPicture } from './hevc-pcm.ts'

/**
 * Writes HEIF files out of coded pictures. Sources: ISO/IEC 14496-12 (boxes, `meta`, `iloc`), ISO/IEC 23008-12 (items,
 * properties, `grid`), ISO/IEC 14496-15 (`hvcC`).
 */
export type HeifItem = {
  id: number
  type: string
  /** Kept in the file's media data. */
  data: Buffer
  properties?: readonly Buffer[]
  /** What this item refers to: derived from (`dimg`), auxiliary of (`auxl`), describing (`cdsc`). */
  refers?: { type: string; to: readonly number[] }
  hidden?: boolean
}

const u8 = (...values: number[]) => Buffer.from(values)
const u16 = (...values: number[]) => Buffer.from(values.flatMap((v) => [v >> 8, v & 255]))
const u32 = (...values: number[]) =>
  Buffer.concat(
    values.map((v) => {
      const bytes = Buffer.alloc(4)
      bytes.writeUInt32BE(v)
      return bytes
    }),
  )
const text = (value: string) => Buffer.from(value, 'latin1')

export const box = (type: string, ...parts: Buffer[]): Buffer => {
  const body = Buffer.concat(parts)
  return Buffer.concat([u32(8 + body.length), text(type), body])
}
const fullBox = (type: string, version: number, flags: number, ...parts: Buffer[]) =>
  box(type, u32(version * 2 ** 24 + flags), ...parts)

export const sizeProperty = (width: number, height: number) => fullBox('ispe', 0, 0, u32(width, height))
/** `irot`: quarter turns against the clock. */
export const turnProperty = (quarters: number) => box('irot', u8(quarters))
/** `imir` as ISO/IEC 23008-12:2022 clause 6.5.12 settled it: 0 exchanges top and bottom, 1 left and right. */
export const mirrorProperty = (axis: 0 | 1) => box('imir', u8(axis))
export const iccProperty = (icc: Uint8Array) => box('colr', text('prof'), Buffer.from(icc))
/** Code points of ITU-T H.273: primaries, transfer, matrix; full range. */
export const codePointsProperty = ([primaries, transfer, matrix]: readonly [number, number, number]) =>
  box('colr', text('nclx'), u16(primaries, transfer, matrix), u8(0x80))
export const auxiliaryProperty = (type: string) => fullBox('auxC', 0, 0, text(`${type}\0`))

/** ISO/IEC 14496-15 clause 8.3.2.1: the decoder's configuration with the three parameter sets. */
export function configuration(coded: Coded): Buffer {
  // general_profile_space … general_level_idc stand in the sequence parameters after two bytes of header and one of ids
  const general = coded.sps.subarray(3, 15)
  const head = new Bits().u(8, 1).bytes()
  const rest = new Bits()
    .u(4, 15)
    .u(12, 0)
    .u(6, 63)
    .u(2, 0)
    .u(6, 63)
    .u(2, coded.chroma)
    .u(5, 31)
    .u(3, coded.bits - 8)
    .u(5, 31)
    .u(3, coded.bits - 8)
    .u(16, 0)
    .u(2, 0)
    .u(3, 1)
    .u(1, 1)
    .u(2, 3)
    .u(8, 3)
    .bytes()
  const arrays = [coded.vps, coded.sps, coded.pps].map((nal, i) =>
    Buffer.concat([u8(0x80 | (32 + i)), u16(1, nal.length), nal]),
  )
  return box('hvcC', head, general, rest, ...arrays)
}

/** A coded picture as an item: its slice with four bytes of length before it. */
export function pictureItem(id: number, picture: PcmPicture, properties: readonly Buffer[] = []): HeifItem {
  const coded = codePcm(picture)
  const { width, height } = picture.shown ?? picture
  return {
    id,
    type: 'hvc1',
    data: Buffer.concat([u32(coded.slice.length), coded.slice]),
    properties: [configuration(coded), sizeProperty(width, height), ...properties],
  }
}

/** ISO/IEC 23008-12 clause 6.6.2.3: equal tiles, row by row, cut to `width` × `height`. */
export function gridItem(
  id: number,
  tiles: readonly number[],
  shape: { rows: number; columns: number; width: number; height: number },
  properties: readonly Buffer[] = [],
): HeifItem {
  const { rows, columns, width, height } = shape
  const isLarge = width > 65_535 || height > 65_535
  const size = isLarge ? u32(width, height) : u16(width, height)
  return {
    id,
    type: 'grid',
    data: Buffer.concat([u8(0, isLarge ? 1 : 0, rows - 1, columns - 1), size]),
    properties: [sizeProperty(width, height), ...properties],
    refers: { type: 'dimg', to: tiles },
  }
}

/** Annex A.2.1: the distance to the TIFF structure, then what EXIF puts before it. */
export const exifItem = (id: number, tiff: Buffer, of: number): HeifItem => ({
  id,
  type: 'Exif',
  data: Buffer.concat([u32(6), text('Exif\0\0'), tiff]),
  refers: { type: 'cdsc', to: [of] },
})

/** @param main  the item to show */
export function heifFile(items: readonly HeifItem[], main: number, brands = ['heic', 'mif1', 'heic']): Buffer {
  const [major = 'heic', ...compatible] = brands
  const fileType = box('ftyp', text(major), u32(0), ...compatible.map(text))
  const properties: Buffer[] = []
  const associations = items
    .filter((item) => item.properties?.length)
    .map(({ id, properties: own = [] }) => {
      const indices = own.map((property) => {
        const known = properties.findIndex((other) => other.equals(property))
        if (known < 0) properties.push(property)
        return known < 0 ? properties.length : known + 1
      })
      const essential = (i: number) => /hvcC|irot|imir/.test(own[i]?.toString('latin1', 4, 8) ?? '')
      return Buffer.concat([u16(id), u8(own.length), ...indices.map((n, i) => u8((essential(i) ? 0x80 : 0) | n))])
    })
  const references = items.flatMap(({ id, refers }) =>
    refers ? [box(refers.type, u16(id, refers.to.length, ...refers.to))] : [],
  )
  const meta = (places: readonly number[]) =>
    fullBox(
      'meta',
      0,
      0,
      fullBox('hdlr', 0, 0, u32(0), text('pict'), Buffer.alloc(13)),
      fullBox('pitm', 0, 0, u16(main)),
      fullBox(
        'iloc',
        0,
        0,
        u8(0x44, 0),
        u16(items.length),
        ...items.map(({ id, data }, i) => Buffer.concat([u16(id, 0, 1), u32(places[i] ?? 0, data.length)])),
      ),
      fullBox(
        'iinf',
        0,
        0,
        u16(items.length),
        ...items.map(({ id, type, hidden }) => fullBox('infe', 2, hidden ? 1 : 0, u16(id, 0), text(`${type}\0`))),
      ),
      ...(references.length > 0 ? [fullBox('iref', 0, 0, ...references)] : []),
      box('iprp', box('ipco', ...properties), fullBox('ipma', 0, 0, u32(associations.length), ...associations)),
    )
  let at = fileType.length + meta([]).length + 8
  const places = items.map(({ data }) => {
    const place = at
    at += data.length
    return place
  })
  return Buffer.concat([fileType, meta(places), box('mdat', ...items.map(({ data }) => data))])
}
