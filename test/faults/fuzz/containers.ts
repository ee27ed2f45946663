import { crc32 } from 'node:zlib'
import { mutated } from './mutate.ts'
import type { Random } from './random.ts'

/** A piece of a file under its name. */
export type Part = { name: string; body: Uint8Array }

/** How a format keeps its pieces: taken apart and put together again, so that harm reaches what lies deeper. */
export type Container = {
  split(bytes: Uint8Array): Part[]
  /** @param lie  what a piece says of its own length, where it does not tell the truth */
  join(parts: readonly (Part & { lie?: number })[]): Uint8Array
}

const text = (bytes: Uint8Array) => Buffer.from(bytes).toString('latin1')
const letters = (word: string) => Buffer.from(word.slice(0, 4).padEnd(4), 'latin1')
function number(value: number, bytes: 2 | 4, isLittle = false): Buffer {
  const out = Buffer.alloc(bytes)
  const view = new DataView(out.buffer, out.byteOffset, bytes)
  if (bytes === 2) view.setUint16(0, value, isLittle)
  else view.setUint32(0, value, isLittle)
  return out
}

/** PNG's chunks, each with its checksum made anew. Source: PNG (third edition) section 5.3. */
export const png: Container = {
  split: (bytes) => {
    const view = Buffer.from(bytes)
    const parts: Part[] = []
    for (let at = 8; at + 12 <= view.length; ) {
      const length = view.readUInt32BE(at)
      parts.push({ name: text(view.subarray(at + 4, at + 8)), body: view.subarray(at + 8, at + 8 + length) })
      at += 12 + length
    }
    return parts
  },
  join: (parts) =>
    Buffer.concat([
      Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'),
      ...parts.flatMap(({ name, body, lie }) => {
        const named = Buffer.concat([letters(name), body])
        return [number(lie ?? body.length, 4), named, number(crc32(named), 4)]
      }),
    ]),
}

/** JPEG's segments; the coded picture is the body of its scan. Source: ISO/IEC 10918-1 annex B.1. */
export const jpeg: Container = {
  split: (bytes) => {
    const view = Buffer.from(bytes)
    const parts: Part[] = []
    for (let at = 2; at + 4 <= view.length && view[at] === 0xff; ) {
      const marker = view[at + 1] ?? 0
      const name = marker.toString(16)
      if (marker === 0xd9) break
      const length = view.readUInt16BE(at + 2)
      const end = marker === 0xda ? view.length : at + 2 + length
      parts.push({ name, body: view.subarray(at + 4, end) })
      at = end
    }
    return parts
  },
  join: (parts) =>
    Buffer.concat([
      Buffer.from([0xff, 0xd8]),
      ...parts.flatMap(({ name, body, lie }) => {
        const marker = Number.parseInt(name, 16) & 255
        // the head of a scan says how many components it has
        const length = marker === 0xda ? 6 + 2 * (body[0] ?? 0) : body.length + 2
        return [Buffer.from([0xff, Number.isNaN(marker) ? 0xe0 : marker]), number(lie ?? length, 2), body]
      }),
    ]),
}

/** RIFF's chunks of a WebP file. Source: WebP container specification. */
export const webp: Container = {
  split: (bytes) => {
    const view = Buffer.from(bytes)
    const parts: Part[] = []
    for (let at = 12; at + 8 <= view.length; ) {
      const length = view.readUInt32LE(at + 4)
      parts.push({ name: text(view.subarray(at, at + 4)), body: view.subarray(at + 8, at + 8 + length) })
      at += 8 + length + (length % 2)
    }
    return parts
  },
  join: (parts) => {
    const body = Buffer.concat(
      parts.flatMap(({ name, body: own, lie }) => [
        letters(name),
        number(lie ?? own.length, 4, true),
        own,
        Buffer.alloc(own.length % 2),
      ]),
    )
    return Buffer.concat([letters('RIFF'), number(body.length + 4, 4, true), letters('WEBP'), body])
  },
}

/** Boxes of AVIF and HEIF at the top. Source: ISO/IEC 14496-12 clause 4.2. */
export const boxes: Container = {
  split: (bytes) => {
    const view = Buffer.from(bytes)
    const parts: Part[] = []
    for (let at = 0; at + 8 <= view.length; ) {
      const length = Math.max(8, view.readUInt32BE(at))
      parts.push({ name: text(view.subarray(at + 4, at + 8)), body: view.subarray(at + 8, at + length) })
      at += length
    }
    return parts
  },
  join: (parts) =>
    Buffer.concat(parts.flatMap(({ name, body, lie }) => [number(lie ?? body.length + 8, 4), letters(name), body])),
}

/** Boxes that hold boxes, and how many bytes of their own stand before them. */
const nests: Readonly<Record<string, number>> = { meta: 4, iprp: 0, ipco: 0, iinf: 6, iref: 4, moov: 0, dinf: 0 }

/** Pieces dropped, doubled, exchanged, taken from another file, harmed inside, or lying about their length. */
export function harmedParts(
  container: Container,
  bytes: Uint8Array,
  random: Random,
  others: readonly Uint8Array[],
): Uint8Array {
  type Lying = Part & { lie?: number }
  let parts: Lying[] = container.split(bytes)
  if (parts.length === 0) return mutated(bytes, random, others)
  for (let i = random.few(4); i > 0 && parts.length > 0; i--) {
    const at = random.int(parts.length)
    const part = parts[at]
    if (!part) continue
    switch (random.int(8)) {
      case 0:
        parts.splice(at, 1)
        break
      case 1:
        parts = parts.toSpliced(
          at,
          0,
          ...Array.from(
            { length: Math.min(random.few(300), Math.ceil(200_000 / (part.body.length + 12))) },
            () => part,
          ),
        )
        break
      case 2: {
        const to = random.int(parts.length)
        const [moved] = parts.splice(at, 1)
        if (moved) parts.splice(to, 0, moved)
        break
      }
      case 3: {
        const foreign = others.length > 0 ? container.split(random.pick(others)) : []
        if (foreign.length > 0) parts.splice(at, random.int(2), random.pick(foreign))
        break
      }
      case 4:
        parts[at] = {
          ...part,
          lie: random.pick([0, 1, 7, part.body.length + 1, part.body.length * 2, 0x7fffffff, 0xffffffff]),
        }
        break
      case 5:
        parts[at] = { ...part, name: random.pick(parts).name }
        break
      default:
        parts[at] = { ...part, body: harmedBody(container, part, random) }
    }
  }
  return container.join(parts)
}

function harmedBody(container: Container, { name, body }: Part, random: Random): Uint8Array {
  const own = container === boxes ? nests[name] : undefined
  if (own === undefined || random.chance(0.2)) return mutated(body, random)
  return Buffer.concat([body.subarray(0, own), harmedParts(boxes, body.subarray(own), random, [])])
}

/** The entries of a TIFF's directories: tags, types, counts, values and where the next directory lies. Source: TIFF 6.0 section 2. */
export function harmedTiff(bytes: Uint8Array, random: Random): Uint8Array {
  const copy = Buffer.from(bytes)
  if (copy.length < 16) return mutated(bytes, random)
  const isLittle = copy[0] === 0x49
  const read16 = (at: number) => (isLittle ? copy.readUInt16LE(at) : copy.readUInt16BE(at))
  const read32 = (at: number) => (isLittle ? copy.readUInt32LE(at) : copy.readUInt32BE(at))
  const write = (at: number, size: 2 | 4, value: number) => number(value, size, isLittle).copy(copy, at)
  const directories: { at: number; count: number }[] = []
  for (let at = read32(4); at > 0 && at + 6 <= copy.length && directories.length < 20; ) {
    const count = read16(at)
    if (at + 6 + count * 12 > copy.length || directories.some((known) => known.at === at)) break
    directories.push({ at, count })
    at = read32(at + 2 + count * 12)
  }
  if (directories.length === 0) return mutated(bytes, random)
  const sizes = [0, 1, 2, 4, 100, 0x7fff, 0xffff, 0x10000, 0x7fffffff, 0xffffffff]
  for (let i = random.few(5); i > 0; i--) {
    const { at, count } = random.pick(directories)
    if (count === 0) continue
    const entry = at + 2 + 12 * random.int(count)
    const anywhere = () =>
      random.pick([at, 0, 8, copy.length, copy.length - 1, random.int(copy.length), random.pick(sizes)])
    switch (random.int(7)) {
      case 0:
        write(
          entry,
          2,
          random.pick([
            254,
            256,
            257,
            258,
            259,
            262,
            273,
            274,
            277,
            278,
            279,
            282,
            317,
            320,
            322,
            323,
            324,
            325,
            330,
            338,
            339,
            347,
            513,
            514,
            530,
            700,
            34675,
            34665,
            34853,
            40965,
            50706,
            random.int(65_536),
          ]),
        )
        break
      case 1:
        write(entry + 2, 2, random.pick([0, 1, 2, 3, 4, 5, 7, 9, 11, 12, 13, 16, 18, 0xffff]))
        break
      case 2:
        write(entry + 4, 4, random.pick(sizes))
        break
      case 3:
        write(entry + 8, 4, random.pick(sizes))
        break
      case 4:
        write(entry + 8, 4, anywhere())
        break
      case 5:
        // a chain that comes back to itself, or leads out
        write(at + 2 + count * 12, 4, anywhere())
        break
      default:
        write(at, 2, random.pick([0, 1, count - 1, count + 1, 200, 0xffff]))
    }
  }
  return random.chance(0.3) ? mutated(copy, random) : copy
}
