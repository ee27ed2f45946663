import { fitInto } from '../../../../../shared-core/colour/gamut.ts'
import { type Lab, labToXyz } from '../../../../../shared-core/colour/lab.ts'
import { invert3 } from '../../../../../shared-core/colour/matrix.ts'
import {
  displayP3,
  type RgbSpace,
  rgbToXyzD50Matrix,
  srgb,
  xyzToRgb,
} from '../../../../../shared-core/colour/spaces.ts'
import type { Output } from '../../../../../shared-core/contract/calls.ts'
import type { ScreenSpace } from '../../../../../shared-core/records/side.ts'

/** Steps as columns, darkest first, so that a slice of lightness is one run of rows. */
export type MapSteps = {
  readonly count: number
  readonly panelIds: readonly string[]
  readonly codes: readonly string[]
  readonly titles: readonly string[]
  /** Row of `panelIds`. */
  readonly panel: Int32Array
  readonly coats: Float64Array
  readonly l: Float64Array
  readonly a: Float64Array
  readonly b: Float64Array
  readonly bound90: Float64Array
  /** The paint as a pixel of the screen. */
  readonly paint: Uint32Array
  /** 1 where the screen cannot show it. */
  readonly beyond: Uint8Array
  /** Rows of panel p, bare to deepest: `ofPanel[from[p]]` up to `from[p + 1]`. */
  readonly from: Int32Array
  readonly ofPanel: Int32Array
}

/** A run of rows: from, and up to but not with. */
export type Run = readonly [from: number, to: number]

const screenOf = (space: RgbSpace) => ({ space, fromXyz: invert3(rgbToXyzD50Matrix(space)), fit: fitInto(space) })
const screens = { sRGB: screenOf(srgb), 'Display P3': screenOf(displayP3) }

/** A neutral of the screen as a pixel; red lies lowest in memory. */
export const greyPixel = (value: number): number => ((255 << 24) | (value << 16) | (value << 8) | value) >>> 0

/**
 * As every swatch on screen: what the screen cannot show keeps lightness and hue and loses chroma, and is said.
 * @param lab  D50, 2°
 */
export function labToPixel(lab: Lab, on: ScreenSpace): { pixel: number; isBeyond: boolean } {
  const { space, fromXyz, fit } = screens[on]
  const { r, g, b } = xyzToRgb(fromXyz, labToXyz(lab))
  const light: [number, number, number] = [r, g, b]
  const isBeyond = fit(light)
  const byte = (channel: number): number => Math.round(space.encode(channel) * 255)
  return { pixel: ((255 << 24) | (byte(light[2]) << 16) | (byte(light[1]) << 8) | byte(light[0])) >>> 0, isBeyond }
}

export function mapSteps({ panels, steps }: Output<'panels.colours'>, on: ScreenSpace): MapSteps {
  const count = steps.l.length
  const order = Int32Array.from({ length: count }, (_, row) => row)
  order.sort((one, other) => steps.l[one]! - steps.l[other]! || one - other)
  const column = (values: readonly number[]) => Float64Array.from(order, (row) => values[row]!)
  const [l, a, b] = [column(steps.l), column(steps.a), column(steps.b)]
  const panel = Int32Array.from(order, (row) => steps.panel[row]!)
  const coats = column(steps.coats)
  const paint = new Uint32Array(count)
  const beyond = new Uint8Array(count)
  for (let row = 0; row < count; row++) {
    const { pixel, isBeyond } = labToPixel({ l: l[row]!, a: a[row]!, b: b[row]! }, on)
    paint[row] = pixel
    beyond[row] = isBeyond ? 1 : 0
  }
  return {
    count,
    panelIds: panels.ids,
    codes: panels.codes,
    titles: panels.titles,
    panel,
    coats,
    l,
    a,
    b,
    bound90: column(steps.bound90),
    paint,
    beyond,
    ...rowsByPanel(panel, coats, panels.ids.length),
  }
}

function rowsByPanel(panel: Int32Array, coats: Float64Array, panels: number): Pick<MapSteps, 'from' | 'ofPanel'> {
  const from = new Int32Array(panels + 1)
  for (const p of panel) from[p + 1]!++
  for (let p = 0; p < panels; p++) from[p + 1]! += from[p]!
  const next = from.slice()
  const ofPanel = new Int32Array(panel.length)
  for (let row = 0; row < panel.length; row++) ofPanel[next[panel[row]!]!++] = row
  for (let p = 0; p < panels; p++) {
    ofPanel.subarray(from[p], from[p + 1]).sort((one, other) => coats[one]! - coats[other]! || one - other)
  }
  return { from, ofPanel }
}

export const labOf = (steps: Pick<MapSteps, 'l' | 'a' | 'b'>, row: number): Lab => ({
  l: steps.l[row]!,
  a: steps.a[row]!,
  b: steps.b[row]!,
})

/** Rows of one panel's steps, bare to deepest. */
export const stepsOfPanel = (steps: MapSteps, panel: number): Int32Array =>
  steps.ofPanel.subarray(steps.from[panel], steps.from[panel + 1])

/** What is looked at: so much lightness around a middle, or all of it. */
export type Slice = { readonly middle: number | null }

/** As much lightness as one slice shows. */
export const sliceWidth = 20
/** The five slices that stand side by side, lightest first. */
export const sliceMiddles = [90, 70, 50, 30, 10] as const

/** A slice's limits in L*; the outermost take in what lies beyond 0 and 100 (silver may). */
export function sliceLimits({ middle }: Slice): { from: number; to: number } {
  if (middle === null) return { from: Number.NEGATIVE_INFINITY, to: Number.POSITIVE_INFINITY }
  const [from, to] = [middle - sliceWidth / 2, middle + sliceWidth / 2]
  return { from: from <= 0 ? Number.NEGATIVE_INFINITY : from, to: to >= 100 ? Number.POSITIVE_INFINITY : to }
}

/** Rows of a slice. */
export function sliceRun(steps: Pick<MapSteps, 'l'>, slice: Slice): Run {
  const { from, to } = sliceLimits(slice)
  return [firstAtLeast(steps.l, from), firstAtLeast(steps.l, to)]
}

function firstAtLeast(sorted: Float64Array, value: number): number {
  let [low, high] = [0, sorted.length]
  while (low < high) {
    const middle = (low + high) >> 1
    if (sorted[middle]! < value) low = middle + 1
    else high = middle
  }
  return low
}

/** How many panels have a step in a run. */
export function panelsIn(steps: MapSteps, [from, to]: Run): number {
  return new Set(steps.panel.subarray(from, to)).size
}
