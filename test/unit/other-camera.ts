/**
 * Photos by a camera that is written here, independently of how photos are read: colours by colorjs.io, mixing of channels
 * by a matrix, white balance and exposure, flare, a tone curve of another family than the one that is fitted, 8 bits.
 */
import Color from 'colorjs.io'
import type { Pixels } from '../../shared-core/capture/pixels.ts'
import type { Layout, Quad } from '../../shared-core/records/area.ts'
import type { LabTriple } from './capture-scene.ts'
import { rect } from './capture-scene.ts'

export type OtherCamera = {
  /** Steepness of the tone curve; 0 is none. */
  steep: number
  flare: number
  /** White balance and exposure. */
  balance: LabTriple
  /** How far channels are pulled apart: what phones call saturation. */
  vivid: number
}
export const linearCamera: OtherCamera = { steep: 0, flare: 0, balance: [1, 1, 1], vivid: 0 }
export const contrasty: OtherCamera = { steep: 3.4, flare: 0.004, balance: [0.8, 0.7, 0.55], vivid: 0.12 }

/** A logistic curve from black to white: an S-curve, but no cubic. */
function bent(e: number, steep: number): number {
  if (steep === 0) return e
  const logistic = (x: number) => 1 / (1 + Math.exp(-steep * (x - 0.5)))
  return (logistic(e) - logistic(0)) / (logistic(1) - logistic(0))
}

/** IEC 61966-2-1. */
const encode = (v: number) => (v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055)

const linear = new Map<string, LabTriple>()
function lightOf(lab: LabTriple): LabTriple {
  const key = lab.join(' ')
  const known = linear.get(key) ?? (new Color('lab', lab).to('srgb-linear').coords as LabTriple)
  linear.set(key, known)
  return known
}

/** Numbers of the file, 0 to 1, for a colour in light of a given strength. */
export function numbersOf(lab: LabTriple, camera: OtherCamera, lit: LabTriple = [1, 1, 1]): LabTriple {
  const light = lightOf(lab)
  const mean = (light[0] + light[1] + light[2]) / 3
  return light.map((v, c) => {
    const seen = (v + camera.vivid * (v - mean)) * camera.balance[c]! * lit[c]! + camera.flare
    return bent(encode(Math.min(1, Math.max(0, seen))), camera.steep)
  }) as LabTriple
}

/** A number per place, the same each time: noise of about one step of 8 bits. */
function noiseOf(seed: number) {
  let state = seed >>> 0
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return ((state >>> 8) / 2 ** 24 - 0.5) * (2.4 / 255)
  }
}

export type Thing = { quad: Quad; lab: LabTriple }
export type Picture = {
  things: readonly Thing[]
  camera: OtherCamera
  background: (x: number, y: number) => LabTriple
  /** Light at a place, x and y from 0 to 1. */
  lit?: (x: number, y: number) => LabTriple
  width?: number
  height?: number
}

export function pictureOf({ things, camera, background, lit, width = 600, height = 420 }: Picture): Pixels {
  const data = new Uint8Array(width * height * 3)
  const noise = noiseOf(7)
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const on = things.find(({ quad: [a, , c] }) => x >= a[0] && x < c[0] && y >= a[1] && y < c[1])
      const lab = on?.lab ?? background(x, y)
      const seen = numbersOf(lab, camera, lit?.((x + 0.5) / width, (y + 0.5) / height))
      for (let c = 0; c < 3; c++) {
        data[(y * width + x) * 3 + c] = Math.round(255 * Math.min(1, Math.max(0, seen[c]! + noise())))
      }
    }
  }
  return { width, height, channels: 3, bits: 8, data }
}

/** A box seen a little inside its edges. */
export const inner = ([a, , c]: Quad, by = 4): Quad => rect(a[0] + by, a[1] + by, c[0] - by, c[1] - by)

export const even = (lab: LabTriple) => () => lab
/** Boards of five greys and browns beside each other: no even surface. */
export const boards = (x: number, y: number): LabTriple => {
  const which = (Math.floor(x / 23) * 7 + Math.floor(y / 31) * 3) % 5
  return [28 + 11 * which, [0, 4, 1, 6, 2][which]!, [2, 12, 0, 9, 5][which]!]
}

/** Paints that are none of the chart's patches. */
export const paints: readonly LabTriple[] = [
  [30, 35, 20],
  [42, -22, -12],
  [25, 8, -32],
  [62, 12, 46],
  [74, -6, 12],
  [35, -18, 16],
  [48, 42, 4],
  [58, -14, -20],
  [20, 2, 4],
  [83, 2, 8],
]
const paintQuad = (i: number) =>
  rect(400 + 38 * (i % 5), 230 + 84 * Math.floor(i / 5), 436 + 38 * (i % 5), 310 + 84 * Math.floor(i / 5))
export const paintThings: Thing[] = paints.map((lab, i) => ({ quad: paintQuad(i), lab }))
export const card: Thing = { quad: rect(410, 20, 490, 110), lab: [50, 0, 0] }
export const white: Thing = { quad: rect(500, 20, 580, 110), lab: [92, 0, 1] }
export const black: Thing = { quad: rect(410, 120, 490, 210), lab: [22, 0, 0] }
export const chartQuad = rect(20, 20, 380, 260)

const labOf = ([l, a, b]: LabTriple) => ({ l, a, b })
export type Marked = { tiles?: boolean; chart?: boolean; card?: boolean }
export const markedOf = ({ tiles = false, chart = false, card: withCard = true }: Marked = {}): Layout => ({
  areas: paintThings.map(({ quad }) => ({ stepId: null, shape: { kind: 'quad', quad: inner(quad) } })),
  card: withCard ? { quad: inner(card.quad), lab: labOf(card.lab) } : null,
  tiles: tiles
    ? [
        { quad: inner(white.quad), lab: labOf(white.lab), kind: 'white' },
        { quad: inner(black.quad), lab: labOf(black.lab), kind: 'black' },
      ]
    : [],
  chart: chart ? { quad: chartQuad, table: 'avg30' } : null,
})
