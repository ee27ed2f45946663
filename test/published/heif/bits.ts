/** Writes bits, first bit first, as ITU-T H.265 clause 7.2 reads them. */
export class Bits {
  private readonly bits: number[] = []

  /** u(n) */
  u(count: number, value: number): this {
    for (let i = count - 1; i >= 0; i--) this.bits.push(Math.floor(value / 2 ** i) % 2)
    return this
  }

  /** ue(v): Exp-Golomb, clause 9.2. */
  ue(value: number): this {
    const length = Math.floor(Math.log2(value + 1))
    return this.u(length, 0).u(length + 1, value + 1)
  }

  /** se(v): 0, 1, −1, 2 … are 0, 1, 2, 3 …, clause 9.2.2. */
  se(value: number): this {
    return this.ue(value > 0 ? 2 * value - 1 : -2 * value)
  }

  zerosToByte(): this {
    while (this.bits.length % 8 !== 0) this.bits.push(0)
    return this
  }

  /** rbsp_trailing_bits and byte_alignment alike: a one, then zeros. */
  oneThenZeros(): this {
    return this.u(1, 1).zerosToByte()
  }

  bytes(): Buffer {
    const all = Buffer.alloc(Math.ceil(this.bits.length / 8))
    this.bits.forEach((bit, i) => {
      if (bit) all[i >> 3] = (all[i >> 3] ?? 0) | (0x80 >> (i & 7))
    })
    return all
  }
}
