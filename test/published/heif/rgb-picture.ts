import type { PcmPicture } from './hevc-pcm.ts'

export type Triple = readonly [number, number, number]
export type At = (x: number, y: number) => Triple
export const p3: Triple = [12, 13, 0]

/** Red, green and blue as they are: matrix 0 of ITU-T H.273 puts green, blue and red into the three planes. */
export function rgbPicture(width: number, height: number, at: At, more: Partial<PcmPicture> = {}): PcmPicture {
  const wide = [Math.ceil(width / 16) * 16, Math.ceil(height / 16) * 16] as const
  const bits = more.bits ?? 8
  const planes = [1, 2, 0].map((channel) => {
    const plane = new (bits === 8 ? Uint8Array : Uint16Array)(wide[0] * wide[1])
    for (let y = 0; y < height; y++) for (let x = 0; x < width; x++) plane[y * wide[0] + x] = at(x, y)[channel] ?? 0
    return plane
  })
  const shown = { width, height }
  return { width: wide[0], height: wide[1], shown, bits, chroma: 3, planes, colour: p3, ...more }
}

/** Every pixel differs from its neighbours, so that turned, mirrored or shifted pictures are noticed. */
export const busy: At = (x, y) => [(x * 37 + y * 11) % 256, (x * 5 + y * 91) % 256, (x * 71 + y * 3 + 90) % 256]
export const expected = (width: number, height: number, at: At): number[] =>
  Array.from({ length: width * height }, (_, i) => [...at(i % width, Math.floor(i / width))]).flat()
