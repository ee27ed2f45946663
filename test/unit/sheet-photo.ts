/** Photos of a printed photo sheet, seen straight from above, by the cameras of `other-camera.ts`. */
import Color from 'colorjs.io'
import { chartColours, patchQuad } from '../../shared-core/capture/camera/chart.ts'
import type { Pixels } from '../../shared-core/capture/pixels.ts'
import { pageOf, quadOnPhoto, type SheetPage } from '../../shared-core/capture/sheet/page.ts'
import type { Layout, Quad } from '../../shared-core/records/area.ts'
import type { SheetOnPhoto } from '../../shared-core/records/photo-sheet.ts'
import { type LabTriple, rect } from './capture-scene.ts'
import { contrasty, inner, linearCamera, numbersOf, type OtherCamera, type Thing } from './other-camera.ts'

export const perMm = 2
export const print = {
  paper: { widthMm: 210, heightMm: 297 },
  panel: { widthMm: 100, heightMm: 150 },
  series: 7,
}
/** Seen straight from above, the page filling the picture. */
export const sheet: SheetOnPhoto = { print, toPhoto: [perMm, 0, 0, 0, perMm, 0, 0, 0, 1], missing: [] }
export const page = pageOf(sheet) as SheetPage
const { window, card, chart, steps, colours } = page.places
export const size = { width: 210 * perMm, height: Math.floor(297 * perMm) }

/** A printer that nobody knows: its white is bluish, its black no black, its colours pale and turned. */
export const paper: LabTriple = [93, 0.5, -4]
export function printed(hex: string): LabTriple {
  if (hex === '#ffffff') return paper
  const [l, a, b] = new Color(hex).to('lab').coords as LabTriple
  return [24 + 0.66 * l, 0.62 * a - 0.1 * b + 2, 0.58 * b + 0.12 * a - 1]
}
const inks: Thing[] = [...steps, ...colours].map(({ hex, ...place }) => ({
  quad: quadOnPhoto(page, place),
  lab: printed(hex),
}))
export const cardThing: Thing = { quad: quadOnPhoto(page, card), lab: [51, -0.3, 0.4] }
export const onWindow = (lab: LabTriple): Thing => ({ quad: quadOnPhoto(page, window), lab })
export const chartQuad = quadOnPhoto(page, chart)
/** Six columns run down the page, from its right edge. */
export const upright: Quad = [chartQuad[1], chartQuad[2], chartQuad[3], chartQuad[0]]
const boxOf = (quad: Quad): Quad =>
  rect(
    Math.min(...quad.map(([x]) => x)),
    Math.min(...quad.map(([, y]) => y)),
    Math.max(...quad.map(([x]) => x)),
    Math.max(...quad.map(([, y]) => y)),
  )
export const chartThings = (quad: Quad): Thing[] => [
  ...chartColours('avg30').map(
    ({ l, a, b }, i): Thing => ({
      quad: boxOf(patchQuad(quad, i + 1, 0.88)),
      lab: [l, a, b],
    }),
  ),
  { quad: boxOf(quad), lab: [18, 0, 0] },
]

/** A lamp low at the left, and the corners of a lens. */
export const falling = (x: number, y: number): LabTriple => {
  const v = 0.85 * (1 - 0.22 * (x - 0.3) ** 2 - 0.2 * x - 0.12 * (y - 0.5) ** 2)
  return [v, v, v]
}
/** The first of the things that cover a place is seen there; numbers of greys by a table, as they are the same for each channel. */
export function take(things: readonly Thing[], camera: OtherCamera = contrasty, lit = falling): Pixels {
  const { width, height } = size
  const all = [...things, ...inks]
  const top = new Uint8Array(width * height).fill(all.length)
  all.toReversed().forEach(({ quad: [a, , c] }, i) => {
    for (let y = Math.round(Math.max(0, a[1])); y < Math.min(height, Math.round(c[1])); y++)
      top.fill(
        all.length - 1 - i,
        y * width + Math.round(Math.max(0, a[0])),
        y * width + Math.min(width, Math.round(c[0])),
      )
  })
  const plain: OtherCamera = { ...camera, steep: 0, flare: 0 }
  const lights = [...all.map(({ lab }) => lab), paper].map((lab) =>
    numbersOf(lab, { ...plain, balance: camera.balance.map((v) => v / 8) as LabTriple }).map((v) => 8 * decode(v)),
  )
  const codes = Float64Array.from({ length: steps4k + 1 }, (_, i) => numberOf((i / steps4k) ** 2, camera))
  const data = new Uint8Array(width * height * 3)
  let state = 7
  for (let n = 0; n < top.length; n++) {
    const [x, y] = [(n % width) + 0.5, Math.floor(n / width) + 0.5]
    const by = lit(x / width, y / height)
    const own = lights[top[n]!]!
    for (let c = 0; c < 3; c++) {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0
      const noise = (state / 2 ** 32 - 0.5) * 2.4
      const light = Math.min(1, Math.max(0, own[c]! * by[c]! + camera.flare))
      data[3 * n + c] = Math.round(Math.min(255, Math.max(0, codes[Math.round(Math.sqrt(light) * steps4k)]! + noise)))
    }
  }
  return { width, height, channels: 3, bits: 8, data }
}
const steps4k = 4096
const decode = (v: number) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4)
/** The file's number of a neutral light, by the camera's own curve. */
function numberOf(light: number, { steep }: OtherCamera): number {
  const grey = new Color('srgb-linear', [light, light, light]).to('lab').coords as LabTriple
  return 255 * numbersOf(grey, { ...linearCamera, steep })[1]
}

const labOf = ([l, a, b]: LabTriple) => ({ l, a, b })
export const layout: Layout = {
  areas: [{ stepId: null, shape: { kind: 'quad', quad: inner(onWindow([0, 0, 0]).quad, 8) } }],
  card: { quad: inner(cardThing.quad), lab: labOf(cardThing.lab) },
  sheet,
}
export const withChart: Layout = { areas: [], card: null, chart: { quad: upright, table: 'avg30' }, sheet }
