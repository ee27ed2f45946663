import type { Pixels } from '../../capture/pixels.ts'

/**
 * What a picture looks like: 64 bits of where it grows brighter from left to right, written in hexadecimal, by which likely twins
 * are found among many; then the means of 16 × 16 cells, red, green and blue, by which they are told from mere likeness. Panels
 * photographed one after the other in the same place have the same bits and other cells.
 */
export function fingerprintOf(pixels: Pixels): string {
  const fine = cellsOf(pixels, cells, cells)
  const coarse = cellsOf(pixels, 9, 8)
  const lightness = (i: number) => coarse[i * 3]! * 0.2126 + coarse[i * 3 + 1]! * 0.7152 + coarse[i * 3 + 2]! * 0.0722
  let bits = ''
  for (let y = 0; y < 8; y++)
    for (let x = 0; x < 8; x++) bits += lightness(y * 9 + x + 1) - lightness(y * 9 + x) > leastRise ? '1' : '0'
  const quick = (bits.match(/.{4}/g) ?? []).map((four) => Number.parseInt(four, 2).toString(16)).join('')
  return quick + fine.map((value) => Math.round(value).toString(16).padStart(2, '0')).join('')
}

const cells = 16
/** Codes by which it must grow brighter: noise on an even ground does not. */
const leastRise = 3
export const quickLength = 16
const wholeLength = quickLength + cells * cells * 3 * 2
const form = /^[0-9a-f]+$/

export const isFingerprint = (text: string): boolean => text.length === wholeLength && form.test(text)

/** In how many of the 64 bits two fingerprints, or their beginnings, differ. */
export function bitsApart(a: string, b: string): number {
  let apart = 0
  for (let i = 0; i < quickLength; i += 8) {
    let differing = Number.parseInt(a.slice(i, i + 8), 16) ^ Number.parseInt(b.slice(i, i + 8), 16)
    for (; differing !== 0; differing &= differing - 1) apart++
  }
  return apart
}

/** Twins may differ in so many of the 64 bits. Our own figures, no source. */
export const mostBitsApart = 10
const mostMean = 2.5
const strayFrom = 10
const mostStray = 0.03

/**
 * Whether two pictures are of one sight: a copy made smaller, one exported anew, the next of a burst. One step of 8-bit codes in
 * the mean is what a JPEG of poor quality does, and edges stray when a picture is made smaller; another panel in the same place
 * differs by several codes wherever it lies.
 */
export function looksTheSame(a: string, b: string): boolean {
  if (!isFingerprint(a) || !isFingerprint(b) || bitsApart(a, b) > mostBitsApart) return false
  let [sum, stray] = [0, 0]
  for (let i = quickLength; i < wholeLength; i += 2) {
    const apart = Math.abs(Number.parseInt(a.slice(i, i + 2), 16) - Number.parseInt(b.slice(i, i + 2), 16))
    sum += apart
    if (apart > strayFrom) stray++
  }
  const count = cells * cells * 3
  return sum / count <= mostMean && stray / count <= mostStray
}

/** Means of `across` × `down` cells, three for each. */
function cellsOf({ width, height, channels, data }: Pixels, across: number, down: number): number[] {
  const sums = new Float64Array(across * down * 3)
  const counts = new Float64Array(across * down)
  for (let y = 0; y < height; y++) {
    const row = Math.floor((y * down) / height) * across
    for (let x = 0; x < width; x++) {
      const cell = row + Math.floor((x * across) / width)
      const i = (y * width + x) * channels
      counts[cell]!++
      for (let c = 0; c < 3; c++) sums[cell * 3 + c]! += data[i + c]!
    }
  }
  return Array.from(sums, (sum, i) => sum / Math.max(1, counts[Math.floor(i / 3)]!))
}
