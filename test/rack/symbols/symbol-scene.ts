import { qrRows } from '../../../electron/print/qr.ts'
import { homographyBetween, mapPoint } from '../../../shared-core/capture/geometry.ts'
import type { Quad } from '../../../shared-core/records/area.ts'

/** A camera above a bench: where it stands and how it leans decides where each millimetre lands. */
export type View = {
  /** Pixels for a millimetre in the middle of the picture. */
  pxPerMm: number
  tiltDegrees: number
  /** In which direction the bench falls away, in degrees. */
  towardsDegrees: number
  /** The camera's own turn. */
  rollDegrees: number
}

/** A picture of 12 megapixels; scenes may be a part of it. */
export const whole = { left: 0, top: 0, width: 4000, height: 3000 }
export type Part = typeof whole

export const random = (seed: number) => {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = state
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32
  }
}

const radians = (degrees: number): number => (degrees * Math.PI) / 180

/** Where a point of the bench (millimetres from below the middle of the picture) lands; a field of view of 65° across. */
export function landing(view: View): (x: number, y: number) => [number, number] {
  const focal = whole.width / 2 / Math.tan(radians(32.5))
  const away = focal / view.pxPerMm
  const [tilt, towards, roll] = [view.tiltDegrees, view.towardsDegrees, view.rollDegrees].map(radians) as [
    number,
    number,
    number,
  ]
  return (x, y) => {
    const along = x * Math.cos(towards) + y * Math.sin(towards)
    const across = -x * Math.sin(towards) + y * Math.cos(towards)
    const [near, depth] = [along * Math.cos(tilt), away + along * Math.sin(tilt)]
    const px = near * Math.cos(towards + roll) - across * Math.sin(towards + roll)
    const py = near * Math.sin(towards + roll) + across * Math.cos(towards + roll)
    return [whole.width / 2 + (focal * px) / depth, whole.height / 2 + (focal * py) / depth]
  }
}

/** A sticker on the bench: its corner nearest to the page's origin, its turn, and what is printed on it. */
export type Sticker = {
  text: string
  xMm: number
  yMm: number
  turnDegrees: number
  widthMm: number
  heightMm: number
  symbolMm: number
}

/** Where the symbol of modules `count` wide begins on its sticker: in the top right corner, behind its quiet zone. */
const symbolOn = ({ widthMm, symbolMm }: Sticker, count: number): { leftMm: number; topMm: number } => {
  const inset = Math.max(1.6, (4 * symbolMm) / count)
  return { leftMm: widthMm - inset - symbolMm, topMm: inset }
}

/** Moves a sticker with a symbol of 21 modules so that its symbol's middle lies there. */
export function putSymbolAt(sticker: Sticker, [x, y]: [number, number]): void {
  const { leftMm, topMm } = symbolOn(sticker, 21)
  const [mx, my] = [leftMm + sticker.symbolMm / 2, topMm + sticker.symbolMm / 2]
  const turn = radians(sticker.turnDegrees)
  sticker.xMm = x - mx * Math.cos(turn) + my * Math.sin(turn)
  sticker.yMm = y - mx * Math.sin(turn) - my * Math.cos(turn)
}

type Ink = (xMm: number, yMm: number) => number

/** White with the symbol in its top right corner, and lines of something like small print. */
async function inkOf(sticker: Sticker, next: () => number): Promise<Ink> {
  const rows = await qrRows(sticker.text)
  const module = sticker.symbolMm / rows.length
  const { leftMm: left, topMm: top } = symbolOn(sticker, rows.length)
  const letters = Array.from({ length: 4000 }, () => next() < 0.45)
  return (x, y) => {
    const column = Math.floor((x - left) / module)
    const row = Math.floor((y - top) / module)
    if (row >= 0 && row < rows.length && column >= 0 && column < rows.length) return rows[row]?.[column] === '1' ? 0 : 1
    const isText = x > 1.6 && x < left - 2 && y > 2 && y < sticker.heightMm - 2 && (y - 2) % 2.6 < 1.5
    if (!isText) return 1
    return letters[
      (Math.floor(x / 0.28) + Math.floor((y - 2) / 2.6) * 211 + Math.floor(((y - 2) % 2.6) / 0.4) * 37) % 4000
    ]
      ? 0
      : 1
  }
}

export type SymbolScene = { grey: { width: number; height: number; data: Uint8Array }; truth: Quad[] }

/** The bench with stickers as a camera sees it: light that falls off, blur, noise. */
export async function symbolScene(
  view: View,
  part: Part,
  stickers: readonly Sticker[],
  { blur, noise, seed }: { blur: number; noise: number; seed: number },
): Promise<SymbolScene> {
  const next = random(seed)
  const { width, height } = part
  const onBench = landing(view)
  const land = (x: number, y: number): [number, number] => {
    const [px, py] = onBench(x, y)
    return [px - part.left, py - part.top]
  }
  const light = new Float32Array(width * height)
  const [slopeX, slopeY, base] = [(next() - 0.5) * 0.5, (next() - 0.5) * 0.5, 0.14 + next() * 0.3]
  // grain of the bench
  const grain = Float32Array.from({ length: 256 * 256 }, () => next())
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const coarse = (grain[((y >> 4) & 255) * 256 + ((x >> 6) & 255)] ?? 0) - 0.5
      const fine = (grain[(y & 255) * 256 + (x & 255)] ?? 0) - 0.5
      light[y * width + x] = base * (1 + coarse * 0.25 + fine * 0.15)
    }
  // a panel with flake in the middle
  const flake = 0.03 + next() * 0.3
  for (let y = Math.round(height * 0.3); y < height * 0.7; y++)
    for (let x = Math.round(width * 0.3); x < width * 0.7; x++) {
      const spark = grain[((y * 7) & 255) * 256 + ((x * 3 + (y >> 8)) & 255)] ?? 0
      light[y * width + x] = spark > 0.985 ? 0.9 : flake * (0.9 + 0.2 * spark)
    }
  const truth: Quad[] = []
  for (const sticker of stickers) {
    const ink = await inkOf(sticker, next)
    const turn = radians(sticker.turnDegrees)
    const place = (x: number, y: number): [number, number] =>
      land(sticker.xMm + x * Math.cos(turn) - y * Math.sin(turn), sticker.yMm + x * Math.sin(turn) + y * Math.cos(turn))
    const outline = [
      [0, 0],
      [sticker.widthMm, 0],
      [sticker.widthMm, sticker.heightMm],
      [0, sticker.heightMm],
    ].map(([x = 0, y = 0]) => place(x, y))
    const { leftMm: left, topMm: top } = symbolOn(sticker, (await qrRows(sticker.text)).length)
    const [right, bottom] = [left + sticker.symbolMm, top + sticker.symbolMm]
    truth.push([place(left, top), place(right, top), place(right, bottom), place(left, bottom)])
    const back = homographyBetween(outline as Quad, [
      [0, 0],
      [sticker.widthMm, 0],
      [sticker.widthMm, sticker.heightMm],
      [0, sticker.heightMm],
    ])
    const [xs, ys] = [outline.map(([x]) => x), outline.map(([, y]) => y)]
    for (let y = Math.max(0, Math.floor(Math.min(...ys))); y < Math.min(height, Math.max(...ys)); y++)
      for (let x = Math.max(0, Math.floor(Math.min(...xs))); x < Math.min(width, Math.max(...xs)); x++) {
        let [sum, inside] = [0, 0]
        for (let i = 0; i < 16; i++) {
          const [mx, my] = mapPoint(back, [x + ((i & 3) + 0.5) / 4, y + ((i >> 2) + 0.5) / 4])
          if (mx < 0 || my < 0 || mx > sticker.widthMm || my > sticker.heightMm) continue
          inside++
          sum += 0.05 + 0.8 * ink(mx, my)
        }
        const at = y * width + x
        light[at] = ((light[at] ?? 0) * (16 - inside) + sum) / 16
      }
  }
  const soft = blurred(light, width, height, blur)
  const data = new Uint8Array(width * height)
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const lit = (soft[y * width + x] ?? 0) * (0.85 + slopeX * (x / width - 0.5) + slopeY * (y / height - 0.5))
      const gauss = next() + next() + next() + next() - 2
      data[y * width + x] = Math.min(255, Math.max(0, 255 * Math.max(0, lit) ** (1 / 2.2) + gauss * 1.73 * noise))
    }
  return { grey: { width, height, data }, truth }
}

/** Gaussian, separable, edges repeated. */
function blurred(from: Float32Array, width: number, height: number, sigma: number): Float32Array {
  if (sigma <= 0) return from
  const reach = Math.ceil(sigma * 3)
  const weights = Array.from({ length: 2 * reach + 1 }, (_, i) => Math.exp(-((i - reach) ** 2) / (2 * sigma ** 2)))
  const total = weights.reduce((sum, each) => sum + each, 0)
  const pass = (source: Float32Array, stepX: number, stepY: number): Float32Array => {
    const result = new Float32Array(source.length)
    for (let y = 0; y < height; y++)
      for (let x = 0; x < width; x++) {
        let sum = 0
        for (let k = -reach; k <= reach; k++) {
          const sx = Math.min(width - 1, Math.max(0, x + k * stepX))
          const sy = Math.min(height - 1, Math.max(0, y + k * stepY))
          sum += (weights[k + reach] ?? 0) * (source[sy * width + sx] ?? 0)
        }
        result[y * width + x] = sum / total
      }
    return result
  }
  return pass(pass(from, 1, 0), 0, 1)
}
