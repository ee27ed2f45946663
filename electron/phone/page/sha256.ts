/**
 * SHA-256 in pieces. A page that came over plain HTTP has no `crypto.subtle`.
 * Source: FIPS 180-4, sections 4.1.2, 4.2.2, 5.1.1, 5.3.3 and 6.2.
 */

/** First 32 bits of the fractional parts of the cube roots of the first 64 primes. */
const k = Int32Array.from(firstPrimes(64), (p) => fraction(Math.cbrt(p)))
/** … and of the square roots of the first eight. */
const start = Int32Array.from(firstPrimes(8), (p) => fraction(Math.sqrt(p)))

function firstPrimes(count: number): number[] {
  const primes: number[] = []
  for (let n = 2; primes.length < count; n++) if (primes.every((p) => n % p !== 0)) primes.push(n)
  return primes
}
function fraction(root: number): number {
  return Math.floor((root % 1) * 2 ** 32) | 0
}

const turn = (x: number, by: number) => (x >>> by) | (x << (32 - by))

export class Sha256 {
  readonly #h = start.slice()
  readonly #w = new Int32Array(64)
  readonly #rest = new Uint8Array(64)
  #restBytes = 0
  #bytes = 0

  add(bytes: Uint8Array): void {
    this.#bytes += bytes.length
    let at = 0
    if (this.#restBytes > 0) {
      at = Math.min(64 - this.#restBytes, bytes.length)
      this.#rest.set(bytes.subarray(0, at), this.#restBytes)
      this.#restBytes += at
      if (this.#restBytes < 64) return
      this.#block(this.#rest, 0)
      this.#restBytes = 0
    }
    for (; at + 64 <= bytes.length; at += 64) this.#block(bytes, at)
    this.#rest.set(bytes.subarray(at))
    this.#restBytes = bytes.length - at
  }

  /** In lower-case hexadecimal; nothing can be added after it. */
  end(): string {
    const bits = this.#bytes * 8
    const padding = new Uint8Array((this.#restBytes < 56 ? 64 : 128) - this.#restBytes)
    padding[0] = 0x80
    const view = new DataView(padding.buffer)
    view.setUint32(padding.length - 8, Math.floor(bits / 2 ** 32))
    view.setUint32(padding.length - 4, bits % 2 ** 32)
    this.add(padding)
    return Array.from(this.#h, (word) => (word >>> 0).toString(16).padStart(8, '0')).join('')
  }

  #block(bytes: Uint8Array, from: number): void {
    const w = this.#w
    for (let i = 0, at = from; i < 16; i++, at += 4)
      w[i] = (bytes[at]! << 24) | (bytes[at + 1]! << 16) | (bytes[at + 2]! << 8) | bytes[at + 3]!
    for (let i = 16; i < 64; i++) {
      const a = w[i - 15]!
      const b = w[i - 2]!
      const s0 = turn(a, 7) ^ turn(a, 18) ^ (a >>> 3)
      const s1 = turn(b, 17) ^ turn(b, 19) ^ (b >>> 10)
      w[i] = (w[i - 16]! + s0 + w[i - 7]! + s1) | 0
    }
    const h = this.#h
    let [a, b, c, d, e, f, g, l] = h as unknown as [number, number, number, number, number, number, number, number]
    for (let i = 0; i < 64; i++) {
      const t1 = (l + (turn(e, 6) ^ turn(e, 11) ^ turn(e, 25)) + ((e & f) ^ (~e & g)) + k[i]! + w[i]!) | 0
      const t2 = ((turn(a, 2) ^ turn(a, 13) ^ turn(a, 22)) + ((a & b) ^ (a & c) ^ (b & c))) | 0
      l = g
      g = f
      f = e
      e = (d + t1) | 0
      d = c
      c = b
      b = a
      a = (t1 + t2) | 0
    }
    h[0] = h[0]! + a
    h[1] = h[1]! + b
    h[2] = h[2]! + c
    h[3] = h[3]! + d
    h[4] = h[4]! + e
    h[5] = h[5]! + f
    h[6] = h[6]! + g
    h[7] = h[7]! + l
  }
}
