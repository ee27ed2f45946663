/**
 * The numbers of a photo file, upright, red green blue, row by row; no profile has been applied yet.
 * 8 bits lie in a Uint8Array, 16 bits in a Uint16Array.
 */
export type Pixels = {
  readonly width: number
  readonly height: number
  readonly channels: 3
  readonly data: Uint8Array | Uint16Array
  readonly bits: 8 | 16
}

export type Triple = [number, number, number]

/** The largest number a file of this depth can hold. */
export const fullOf = (pixels: Pick<Pixels, 'bits'>): number => (pixels.bits === 16 ? 65535 : 255)
