/**
 * Photo sheets as a camera sees them: the page's marks in plain sRGB, a pinhole camera above it, uneven light, blur, noise. Where
 * each millimetre lies follows from the camera's place alone; nothing of what finds sheets is used.
 */
import type { Pixels } from '../../shared-core/capture/pixels.ts'
import type { SheetPage } from '../../shared-core/records/sheet.ts'

/** A page as squares of one colour, `dotsPerMm` a millimetre; sRGB codes. */
export type PagePicture = { width: number; height: number; dotsPerMm: number; data: Uint8Array }

export type Laid = {
  xMm: number
  yMm: number
  widthMm: number
  heightMm: number
  srgb: readonly [number, number, number]
}

/** Boxes, paints and symbols; words as grey bars, which is all that a small photo shows of them. */
export function pagePicture(page: SheetPage, laid: readonly Laid[], dotsPerMm = 10): PagePicture {
  const [width, height] = [Math.round(page.size.widthMm * dotsPerMm), Math.round(page.size.heightMm * dotsPerMm)]
  const data = new Uint8Array(width * height * 3).fill(255)
  const fill = (x: number, y: number, wide: number, high: number, [r, g, b]: readonly [number, number, number]) => {
    const [x0, x1] = [Math.max(0, Math.round(x * dotsPerMm)), Math.min(width, Math.round((x + wide) * dotsPerMm))]
    const [y0, y1] = [Math.max(0, Math.round(y * dotsPerMm)), Math.min(height, Math.round((y + high) * dotsPerMm))]
    for (let py = y0; py < y1; py++)
      for (let at = (py * width + x0) * 3; at < (py * width + x1) * 3; at += 3) data.set([r, g, b], at)
  }
  for (const mark of page.marks) {
    if (mark.kind === 'box') fill(mark.xMm, mark.yMm, mark.widthMm, mark.heightMm, [20, 20, 20])
    else if (mark.kind === 'paint')
      fill(
        mark.xMm,
        mark.yMm,
        mark.widthMm,
        mark.heightMm,
        [1, 3, 5].map((at) => Number.parseInt(mark.hex.slice(at, at + 2), 16)) as [number, number, number],
      )
    else if (mark.kind === 'text')
      fill(
        mark.xMm,
        mark.baselineMm - mark.sizeMm / 2,
        mark.text.length * mark.sizeMm * 0.5,
        mark.sizeMm / 2,
        [120, 120, 120],
      )
    else if (mark.kind === 'qr') {
      const side = mark.sideMm / mark.rows.length
      for (const [y, row] of mark.rows.entries())
        for (const [x, module] of Array.from(row).entries())
          if (module === '1') fill(mark.xMm + x * side, mark.yMm + y * side, side, side, [20, 20, 20])
    }
  }
  for (const one of laid) fill(one.xMm, one.yMm, one.widthMm, one.heightMm, one.srgb)
  return { width, height, dotsPerMm, data }
}

export type SheetView = {
  width: number
  height: number
  /** Of the camera's axis from the page's, and to which side; how the camera is turned about its axis. Degrees. */
  tilt: number
  towards: number
  turn: number
  /** How much of the picture the sheet takes, 1: it touches the edge. */
  fill: number
  /** Light falls off by this share from one side of the picture to the other, to a side in degrees; and towards its corners. */
  gradient: number
  gradientTo: number
  vignette: number
  /** Codes of white paper in the middle. */
  white: number
  /** Standard deviations, in pixels and in codes. */
  blur: number
  noise: number
  /** sRGB code of what the sheet lies on. */
  ground: number
  seed: number
  /** A corner that is folded over a line so far from it, so that it seems to lie elsewhere by some millimetres. */
  bent?: { corner: 1 | 2 | 3 | 4; fromMm: number; byMm: readonly [number, number] }
  /** Something lies on the picture. Pixels. */
  covers?: readonly { left: number; top: number; right: number; bottom: number; code: number }[]
}

export const plainView: SheetView = {
  width: 1600,
  height: 1200,
  tilt: 0,
  towards: 0,
  turn: 90,
  fill: 0.9,
  gradient: 0,
  gradientTo: 0,
  vignette: 0,
  white: 225,
  blur: 0.8,
  noise: 1,
  ground: 90,
  seed: 1,
}

/** mulberry32, from memory: evenly spread numbers that are the same on every machine. */
export function randomFrom(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = state
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296
  }
}

type Map3 = readonly [number, number, number, number, number, number, number, number, number]
const times = (a: Map3, b: Map3): Map3 =>
  [0, 1, 2].flatMap((r) =>
    [0, 1, 2].map((c) => a[3 * r]! * b[c]! + a[3 * r + 1]! * b[3 + c]! + a[3 * r + 2]! * b[6 + c]!),
  ) as unknown as Map3
export const through = (h: Map3, x: number, y: number): [number, number] => {
  const w = h[6] * x + h[7] * y + h[8]
  return [(h[0] * x + h[1] * y + h[2]) / w, (h[3] * x + h[4] * y + h[5]) / w]
}
const inverse = ([a, b, c, d, e, f, g, k, l]: Map3): Map3 => [
  e * l - f * k,
  c * k - b * l,
  b * f - c * e,
  f * g - d * l,
  a * l - c * g,
  c * d - a * f,
  d * k - e * g,
  b * g - a * k,
  a * e - b * d,
]

/** Page millimetres to picture pixels for a camera as far away as twice the page is wide. */
export function mapOf(size: { widthMm: number; heightMm: number }, view: SheetView): Map3 {
  const [tilt, towards, turn] = [view.tilt, view.towards, view.turn].map((degrees) => (degrees * Math.PI) / 180) as [
    number,
    number,
    number,
  ]
  const about = (angle: number): Map3 => [
    Math.cos(angle),
    -Math.sin(angle),
    0,
    Math.sin(angle),
    Math.cos(angle),
    0,
    0,
    0,
    1,
  ]
  const middle: Map3 = [1, 0, -size.widthMm / 2, 0, 1, -size.heightMm / 2, 0, 0, 1]
  const far = 2 * Math.max(size.widthMm, size.heightMm)
  // the page's plane turned about an axis in it: x stays, y shrinks and comes nearer or goes away
  const tilted: Map3 = [1, 0, 0, 0, Math.cos(tilt), 0, 0, Math.sin(tilt) / far, 1]
  const seen = times(about(turn - towards), times(tilted, times(about(towards), middle)))
  const corners = [
    [0, 0],
    [size.widthMm, 0],
    [size.widthMm, size.heightMm],
    [0, size.heightMm],
  ].map(([x, y]) => through(seen, x!, y!))
  const [xs, ys] = [corners.map(([x]) => x), corners.map(([, y]) => y)]
  const scale =
    view.fill *
    Math.min(view.width / (Math.max(...xs) - Math.min(...xs)), view.height / (Math.max(...ys) - Math.min(...ys)))
  const shift: Map3 = [
    scale,
    0,
    view.width / 2 - (scale * (Math.max(...xs) + Math.min(...xs))) / 2,
    0,
    scale,
    view.height / 2 - (scale * (Math.max(...ys) + Math.min(...ys))) / 2,
    0,
    0,
    1,
  ]
  return times(shift, seen)
}

const linear = Float64Array.from({ length: 256 }, (_one, code) =>
  code <= 10 ? code / 255 / 12.92 : ((code / 255 + 0.055) / 1.055) ** 2.4,
)
const codeOf = (light: number): number =>
  255 * (light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055)
const codes = Float64Array.from({ length: 4096 }, (_one, at) => codeOf(at / 4095))

/** Samples a side of each pixel. */
const samples = 2

export function photograph(page: PagePicture, size: { widthMm: number; heightMm: number }, view: SheetView): Pixels {
  const { width, height } = view
  const light = new Float32Array(width * height * 3)
  for (let y = 0; y < height; y++) exposeRow(light, y, page, size, view)
  blurred(light, width, height, view.blur)
  const random = randomFrom(view.seed)
  const data = new Uint8Array(light.length)
  for (let i = 0; i < light.length; i++) {
    // the sum of four even numbers is near enough to normal; its deviation is the square root of a third
    const noise = view.noise === 0 ? 0 : (random() + random() + random() + random() - 2) * Math.sqrt(3) * view.noise
    data[i] = Math.max(0, Math.min(255, Math.round(codes[Math.round(Math.min(1, light[i]!) * 4095)]! + noise)))
  }
  for (const { left, top, right, bottom, code } of view.covers ?? [])
    for (let y = Math.max(0, top); y < Math.min(height, bottom); y++)
      data.fill(code, (y * width + Math.max(0, left)) * 3, (y * width + Math.min(width, right)) * 3)
  return { width, height, channels: 3, bits: 8, data }
}

function exposeRow(
  light: Float32Array,
  y: number,
  page: PagePicture,
  size: { widthMm: number; heightMm: number },
  view: SheetView,
): void {
  const { width, height } = view
  const [a, b, c, d, e, f, g, k, l] = inverse(mapOf(size, view))
  const bend = view.bent ? bendOf(size, view) : null
  const towards = (view.gradientTo * Math.PI) / 180
  const ground = linear[view.ground]!
  for (let x = 0; x < width; x++) {
    let [red, green, blue] = [0, 0, 0]
    for (let s = 0; s < samples * samples; s++) {
      const u = x + ((s % samples) + 0.5) / samples
      const v = y + (Math.floor(s / samples) + 0.5) / samples
      const w = g * u + k * v + l
      let [mx, my] = [(a * u + b * v + c) / w, (d * u + e * v + f) / w]
      if (bend) [mx, my] = bend(mx, my)
      const [px, py] = [Math.floor(mx * page.dotsPerMm), Math.floor(my * page.dotsPerMm)]
      if (px < 0 || py < 0 || px >= page.width || py >= page.height) {
        red += ground
        green += ground
        blue += ground
        continue
      }
      const at = (py * page.width + px) * 3
      red += linear[page.data[at]!]!
      green += linear[page.data[at + 1]!]!
      blue += linear[page.data[at + 2]!]!
    }
    const [dx, dy] = [x / width - 0.5, y / height - 0.5]
    const across = 0.5 + dx * Math.cos(towards) + dy * Math.sin(towards)
    const fall = 1 - view.gradient * across - view.vignette * 2 * (dx * dx + dy * dy)
    const by = (linear[view.white]! * fall) / (samples * samples)
    const at = (y * width + x) * 3
    light[at] = red * by
    light[at + 1] = green * by
    light[at + 2] = blue * by
  }
}

/** From where a place of the page seems to be to where it is. */
function bendOf(
  size: { widthMm: number; heightMm: number },
  { bent }: SheetView,
): (x: number, y: number) => [number, number] {
  if (!bent) return (x, y) => [x, y]
  const [cx, cy] = [bent.corner === 2 || bent.corner === 3 ? size.widthMm : 0, bent.corner >= 3 ? size.heightMm : 0]
  return (x, y) => {
    const near = (Math.abs(x - cx) + Math.abs(y - cy)) / Math.SQRT2
    const part = Math.max(0, 1 - near / bent.fromMm) * 1.5
    return [x - bent.byMm[0] * part, y - bent.byMm[1] * part]
  }
}

/** Gaussian, along rows and then along columns; the edge is repeated. */
function blurred(light: Float32Array, width: number, height: number, deviation: number): void {
  if (deviation <= 0) return
  const reach = Math.ceil(3 * deviation)
  const kernel = Float64Array.from({ length: reach + 1 }, (_one, k) => Math.exp(-(k ** 2) / (2 * deviation ** 2)))
  const sum = 2 * kernel.reduce((a, b) => a + b, 0) - kernel[0]!
  const line = new Float64Array(Math.max(width, height) + 2 * reach)
  const along = (count: number, step: number, start: number): void => {
    for (let i = -reach; i < count + reach; i++)
      line[i + reach] = light[start + Math.min(count - 1, Math.max(0, i)) * step]! / sum
    for (let i = 0; i < count; i++) {
      let value = kernel[0]! * line[i + reach]!
      for (let k = 1; k <= reach; k++) value += kernel[k]! * (line[i + reach - k]! + line[i + reach + k]!)
      light[start + i * step] = value
    }
  }
  for (let c = 0; c < 3; c++) {
    for (let y = 0; y < height; y++) along(width, 3, y * width * 3 + c)
    for (let x = 0; x < width; x++) along(height, 3 * width, x * 3 + c)
  }
}
