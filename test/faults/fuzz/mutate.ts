import type { Random } from './random.ts'

/** Numbers at which programs trip. */
const edges = [
  0, 1, 2, 7, 8, 0x7f, 0x80, 0xff, 0x100, 0x7fff, 0x8000, 0xffff, 0x10000, 0x7fffffff, 0x80000000, 0xfffffffe,
  0xffffffff,
]

/** One small harm to bytes. */
type Harm = (
  bytes: Uint8Array,
  random: Random,
  others: readonly Uint8Array[],
  tokens: readonly Uint8Array[],
) => Uint8Array

/** Files are mostly read from their beginning: half of the harm is done there. */
const place = (bytes: Uint8Array, random: Random): number =>
  random.chance(0.5) ? random.int(Math.min(bytes.length, 400)) : random.int(Math.max(1, bytes.length))

const changed = (bytes: Uint8Array, change: (copy: Uint8Array<ArrayBuffer>, view: DataView) => void): Uint8Array => {
  const copy = new Uint8Array(bytes)
  change(copy, new DataView(copy.buffer))
  return copy
}

const joined = (...parts: readonly Uint8Array[]): Uint8Array => new Uint8Array(Buffer.concat(parts))

/** A number of 1, 2, 4 or 8 bytes becomes an edge, or a little more or less than it was: lengths, counts and offsets lie. */
const lie: Harm = (bytes, random) =>
  changed(bytes, (copy, view) => {
    const size = random.pick([1, 2, 4, 4, 8])
    if (bytes.length < size) return
    const at = Math.min(place(bytes, random), bytes.length - size)
    const isLittle = random.chance(0.5)
    const edge = random.pick([...edges, bytes.length, bytes.length - 1, random.int(2 ** 32)])
    const near = random.int(33) - 16
    if (size === 1) copy[at] = random.chance(0.5) ? edge : (copy[at] ?? 0) + near
    else if (size === 2) view.setUint16(at, random.chance(0.5) ? edge : view.getUint16(at, isLittle) + near, isLittle)
    else if (size === 4) view.setUint32(at, random.chance(0.6) ? edge : view.getUint32(at, isLittle) + near, isLittle)
    else view.setBigUint64(at, BigInt(edge) << BigInt(random.int(33)), isLittle)
  })

const harms: readonly Harm[] = [
  // flips
  (bytes, random) =>
    changed(bytes, (copy) => {
      for (let i = random.few(40); i >= 0; i--) {
        const at = place(bytes, random)
        copy[at] = (copy[at] ?? 0) ^ (1 << random.int(8))
      }
    }),
  lie,
  lie,
  // a run of one value, or of noise
  (bytes, random) =>
    changed(bytes, (copy) => {
      const at = place(bytes, random)
      const count = random.few(200)
      const value = random.pick([0, 0xff, 0x41, 0x20])
      if (random.chance(0.5)) copy.fill(value, at, at + count)
      else copy.set(random.bytes(Math.max(0, Math.min(count, copy.length - at))), at)
    }),
  // cut short
  (bytes, random) =>
    bytes.subarray(0, random.chance(0.7) ? place(bytes, random) : Math.max(0, bytes.length - random.few(50))),
  // a piece taken out
  (bytes, random) => {
    const at = place(bytes, random)
    return joined(bytes.subarray(0, at), bytes.subarray(at + random.few(300)))
  },
  // a piece said again and again
  (bytes, random) => {
    const at = place(bytes, random)
    const piece = bytes.subarray(at, at + random.few(120) + 1)
    return joined(bytes.subarray(0, at), ...Array.from({ length: random.few(200) }, () => piece), bytes.subarray(at))
  },
  // the head of one, the tail of another
  (bytes, random, others) => {
    const other = others.length > 0 ? random.pick(others) : bytes
    return joined(bytes.subarray(0, place(bytes, random)), other.subarray(place(other, random)))
  },
  // a word of the format in the wrong place
  (bytes, random, _, tokens) => {
    const at = place(bytes, random)
    const token = tokens.length > 0 ? random.pick(tokens) : random.bytes(4)
    return joined(bytes.subarray(0, at), token, bytes.subarray(random.chance(0.5) ? at : at + token.length))
  },
  // something behind the end
  (bytes, random, others) =>
    joined(bytes, random.chance(0.5) && others.length > 0 ? random.pick(others) : random.bytes(random.few(500))),
]

/** No file grows beyond this by being repeated. */
const mostBytes = 400_000

/**
 * Bytes that were valid, harmed once or several times.
 * @param others  what pieces are taken from
 * @param tokens  words that the format knows
 */
export function mutated(
  bytes: Uint8Array,
  random: Random,
  others: readonly Uint8Array[] = [],
  tokens: readonly Uint8Array[] = [],
): Uint8Array {
  let now = bytes
  for (let i = random.few(6); i > 0; i--) now = random.pick(harms)(now, random, others, tokens)
  return now.length > mostBytes ? now.subarray(0, mostBytes) : now
}

export const tokensOf = (...words: readonly string[]): Uint8Array[] => words.map((word) => Buffer.from(word, 'latin1'))
