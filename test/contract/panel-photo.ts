import sharp from 'sharp'
import type { Layout, Quad } from '../../shared-core/records/area.ts'

export const box = (x: number, y: number, width: number, height: number): Quad => [
  [x, y],
  [x + width, y],
  [x + width, y + height],
  [x, y + height],
]
/** Paint on the left, a grey card on the right, both with a little grain; another `seed` is another file. */
export async function panelPhoto(path: string, seed = 1, width = 600, height = 400): Promise<string> {
  const pixels = Buffer.alloc(width * height * 3)
  let state = seed
  for (let i = 0; i < width * height; i++) {
    const colour = i % width < width * 0.6 ? [40, 120, 130] : [119, 119, 119]
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    for (const channel of [0, 1, 2]) pixels[i * 3 + channel] = (colour[channel] ?? 0) + (state >>> 29) - 3
  }
  await sharp(pixels, { raw: { width, height, channels: 3 } })
    .png()
    .toFile(path)
  return path
}
export const layoutFor = (stepId: string | null): Layout => ({
  areas: [{ stepId, shape: { kind: 'quad', quad: box(60, 60, 200, 260) } }],
  card: { quad: box(400, 60, 160, 280), lab: { l: 50, a: 0, b: 0 } },
})
