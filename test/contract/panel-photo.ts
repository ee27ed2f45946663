import Color from 'colorjs.io'
import sharp from 'sharp'
import { chartColours } from '../../shared-core/capture/camera/chart.ts'
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
/** Read by its own marks alone, without set-up or blank sheet. */
export const noHelp = { setupId: null, flatPhotoId: null } as const

export const layoutFor = (stepId: string | null): Layout => ({
  areas: [{ stepId, shape: { kind: 'quad', quad: box(60, 60, 200, 260) } }],
  card: { quad: box(400, 60, 160, 280), lab: { l: 50, a: 0, b: 0 } },
})

/** The photo of a chart with card and paint beside it, or of a white sheet; drawn in sRGB (colorjs.io), by one camera. */
export async function sceneOf(what: 'chart' | 'sheet' | 'panel', path: string, seed = 1): Promise<string> {
  const [width, height] = [600, 400]
  const pixels = Buffer.alloc(width * height * 3)
  let state = seed
  const patches = chartColours('avg30').map(({ l, a, b }) => bytesOf(l, a, b))
  const colourAt = (x: number, y: number): readonly number[] => {
    if (what === 'sheet') return [225, 225, 225]
    if (x >= 420 && x < 570 && y >= 20 && y < 170) return bytesOf(50, 0, 0)
    if (x >= 420 && x < 570 && y >= 210 && y < 360) return [40, 120, 130]
    if (what === 'panel' || x < 20 || x >= 380 || y < 20 || y >= 260) return [90, 90, 90]
    return patches[Math.floor((y - 20) / 60) * 6 + Math.floor((x - 20) / 60)] ?? [0, 0, 0]
  }
  for (let i = 0; i < width * height; i++) {
    const colour = colourAt(i % width, Math.floor(i / width))
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    for (const channel of [0, 1, 2]) pixels[i * 3 + channel] = (colour[channel] ?? 0) + (state >>> 29) - 3
  }
  await sharp(pixels, { raw: { width, height, channels: 3 } })
    .withExif({ IFD0: { Make: 'Flint', Model: 'Flint 2' } })
    .jpeg({ quality: 96, chromaSubsampling: '4:4:4' })
    .toFile(path)
  return path
}
const known = new Map<string, number[]>()
function bytesOf(l: number, a: number, b: number): number[] {
  const key = `${l} ${a} ${b}`
  const bytes =
    known.get(key) ?? new Color('lab', [l, a, b]).to('srgb').coords.map((v) => 255 * Math.min(1, Math.max(0, v ?? 0)))
  known.set(key, bytes)
  return bytes
}
/** What is marked on such a photo. */
export const sceneLayout = (what: 'chart' | 'panel', stepId: string | null): Layout => ({
  areas: what === 'chart' ? [] : [{ stepId, shape: { kind: 'quad', quad: box(440, 230, 110, 110) } }],
  card: { quad: box(430, 30, 130, 130), lab: { l: 50, a: 0, b: 0 } },
  ...(what === 'chart' && { chart: { quad: box(20, 20, 360, 240), table: 'avg30' } }),
})
