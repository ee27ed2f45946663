import { createHash } from 'node:crypto'

/** Chance that can be had again: the same words make the same numbers. */
export type Random = {
  /** From 0 up to but not 1. */
  float(): number
  /** A whole number from 0 up to but not `below`. */
  int(below: number): number
  chance(share: number): boolean
  pick<T>(from: readonly T[]): T
  bytes(count: number): Uint8Array
  /** Mostly small, now and then as large as `most`. */
  few(most: number): number
}

/** xoshiro128** (Blackman and Vigna, ACM Trans. Math. Softw. 47 (2021) 36), seeded by SHA-256 of the words. */
export function randomOf(...words: readonly (string | number)[]): Random {
  const digest = createHash('sha256').update(words.join('\n')).digest()
  let [a = 1, b = 2, c = 3, d = 4] = [0, 4, 8, 12].map((at) => digest.readUInt32LE(at))
  const turned = (value: number, by: number) => ((value << by) | (value >>> (32 - by))) >>> 0
  const next = (): number => {
    const result = Math.imul(turned(Math.imul(b, 5), 7), 9) >>> 0
    const shifted = (b << 9) >>> 0
    c = (c ^ a) >>> 0
    d = (d ^ b) >>> 0
    b = (b ^ c) >>> 0
    a = (a ^ d) >>> 0
    c = (c ^ shifted) >>> 0
    d = turned(d, 11)
    return result
  }
  const float = () => next() / 2 ** 32
  const int = (below: number) => Math.floor(float() * below)
  return {
    float,
    int,
    chance: (share) => float() < share,
    pick: (from) => {
      const found = from[int(from.length)]
      if (found === undefined) throw new RangeError('Nothing to pick from.')
      return found
    },
    bytes: (count) => Uint8Array.from({ length: count }, () => next() & 255),
    few: (most) => Math.min(most, Math.floor(1 / (float() + 1 / (most + 1)))),
  }
}
