import { homographyBetween, isConvex, mapPoint, signedArea, unitSquare } from '../../../shared-core/capture/geometry.ts'
import { evenCuts } from '../../../shared-core/find/filing/strips.ts'
import type { Card, Chart, Layout, MarkedArea, Point, Quad, Tile } from '../../../shared-core/records/area.ts'
import type { SheetOnPhoto } from '../../../shared-core/records/photo-sheet.ts'
import type { Settings } from '../../../shared-core/records/settings.ts'

/**
 * What is marked on a photo while somebody works on it. A layout is flat: one area for each step. Here the areas of one
 * panel stay one outline with cuts, so that pulling a corner moves all of its steps.
 */
export type BandsMark = {
  kind: 'bands'
  quad: Quad
  /** The way the bands follow one another: from the top edge down, or from the left edge to the right. */
  run: 'down' | 'right'
  /** Where the cuts lie between the first edge (0) and the last (1), measured on the panel and not on the picture of it. */
  cuts: number[]
  /** One for each band: one more than there are cuts. */
  stepIds: (string | null)[]
}
export type RoundMark = { kind: 'round'; centre: Point; radius: number; stepId: string | null }
export type FadeMark = { kind: 'fade'; quad: Quad; stepId: string | null }
export type Mark = BandsMark | RoundMark | FadeMark
export type Marks = {
  list: Mark[]
  card: Card | null
  tiles: Tile[]
  chart: Chart | null
  /** What the photo's scale was taken to be before; the card's own size goes before it. */
  mmPerPixel: number | null
  /** The photo sheet that everything lies on: found, not marked. */
  sheet?: SheetOnPhoto | null
}
export type Size = { width: number; height: number }

export const noMarks: Marks = { list: [], card: null, tiles: [], chart: null, mmPerPixel: null }

/** One area of the layout to be, and which mark and band it comes from. */
export type AreaOfMark = { mark: number; band: number; area: MarkedArea }

/** Whether a homography can be trusted with this outline: convex, and no corner nearly straight. */
export function isWellShaped(quad: Quad): boolean {
  if (!isConvex(quad)) return false
  const turns = quad.map(([x, y], i) => {
    const [px, py] = quad[(i + 3) % 4]!
    const [nx, ny] = quad[(i + 1) % 4]!
    return Math.abs((x - px) * (ny - y) - (y - py) * (nx - x))
  })
  return Math.min(...turns) > 1e-6 * Math.max(...turns)
}

/** Takes a place on the panel (0 to 1, right and down) to the photo. Half-drawn outlines are mapped without perspective. */
export function placeOn(quad: Quad): (u: number, v: number) => Point {
  if (isWellShaped(quad)) {
    const h = homographyBetween(unitSquare, quad)
    return (u, v) => mapPoint(h, [u, v])
  }
  const [a, b, c, d] = quad
  const mix = (i: 0 | 1, u: number, v: number) =>
    (a[i] * (1 - u) + b[i] * u) * (1 - v) + (d[i] * (1 - u) + c[i] * u) * v
  return (u, v) => [mix(0, u, v), mix(1, u, v)]
}

/** Where a point of the photo lies on the panel, or null while the outline is no panel. */
export function placeUnder(quad: Quad, point: Point): Point | null {
  return isWellShaped(quad) ? mapPoint(homographyBetween(quad, unitSquare), point) : null
}

/** The quadrilaterals of the bands, in order. */
export function bandsOf(mark: BandsMark): Quad[] {
  const place = placeOn(mark.quad)
  const edges = [0, ...mark.cuts, 1]
  return mark.stepIds.map((_, i) => {
    const [from, to] = [edges[i]!, edges[i + 1]!]
    return mark.run === 'down'
      ? [place(0, from), place(1, from), place(1, to), place(0, to)]
      : [place(from, 0), place(to, 0), place(to, 1), place(from, 1)]
  })
}

/** The two ends of a cut, in the photo. */
export function cutLine(mark: BandsMark, cut: number): [Point, Point] {
  const place = placeOn(mark.quad)
  const at = mark.cuts[cut]!
  return mark.run === 'down' ? [place(0, at), place(1, at)] : [place(at, 0), place(at, 1)]
}

export function splitEvenly(mark: BandsMark, count: number): BandsMark {
  const stepIds = Array.from({ length: count }, (_, i) => mark.stepIds[i] ?? null)
  return { ...mark, cuts: evenCuts(count), stepIds }
}

/** All areas in the order in which a layout lists them. */
export function areasOf(marks: Marks): AreaOfMark[] {
  return marks.list.flatMap((mark, index): AreaOfMark[] => {
    const one = (area: MarkedArea): AreaOfMark[] => [{ mark: index, band: 0, area }]
    switch (mark.kind) {
      case 'bands':
        return bandsOf(mark).map((quad, band) => ({
          mark: index,
          band,
          area: { stepId: mark.stepIds[band]!, shape: { kind: 'quad', quad } },
        }))
      case 'round':
        return one({ stepId: mark.stepId, shape: { kind: 'round', centre: mark.centre, radius: mark.radius } })
      case 'fade':
        return one({ stepId: mark.stepId, shape: { kind: 'fade', quad: mark.quad } })
    }
  })
}

/** @param cardSizeMm  the outer size of the card, or null: then the photo keeps the scale that it had */
export function layoutOf(marks: Marks, cardSizeMm: Settings['cardSizeMm'] = null): Layout {
  const { card, tiles, chart, sheet } = marks
  const areas = areasOf(marks).map(({ area }) => area)
  const mmPerPixel = scaleBy(card, cardSizeMm) ?? marks.mmPerPixel
  return { areas, card, tiles, chart, mmPerPixel, ...(sheet ? { sheet } : {}) }
}

/** The mean scale where the card lies: millimetres and pixels of its surface, whichever way up it lies. */
function scaleBy(card: Card | null, size: Settings['cardSizeMm']): number | null {
  if (!card || !size || !isWellShaped(card.quad)) return null
  return Math.sqrt((size.width * size.height) / Math.abs(signedArea(card.quad)))
}

const near = (a: Point, b: Point, slack: number) => Math.hypot(a[0] - b[0], a[1] - b[1]) <= slack

/** Joins neighbouring areas of a layout to one outline with cuts wherever their edges are the same. */
export function marksOf(layout: Layout): Marks {
  const list: Mark[] = []
  let run: MarkedArea[] = []
  const close = () => {
    if (run.length > 0) list.push(joined(run))
    run = []
  }
  for (const area of layout.areas) {
    const { shape, stepId } = area
    if (shape.kind === 'quad') {
      if (run.length > 0 && !continues(run, shape.quad)) close()
      run.push(area)
      continue
    }
    close()
    if (shape.kind === 'round') list.push({ kind: 'round', centre: shape.centre, radius: shape.radius, stepId })
    else list.push({ kind: 'fade', quad: shape.quad, stepId })
  }
  close()
  const { card, tiles = [], chart = null, mmPerPixel = null, sheet } = layout
  return { list, card, tiles, chart, mmPerPixel, ...(sheet ? { sheet } : {}) }
}

const quadOf = (area: MarkedArea): Quad => (area.shape.kind === 'round' ? unitSquare : area.shape.quad)

/** Whether a quadrilateral begins at the last one's far edge, in the direction that the bands before it took. */
function continues(before: MarkedArea[], quad: Quad): boolean {
  const way = wayBetween(quadOf(before.at(-1)!), quad)
  if (way === null) return false
  if (before.length > 1 && wayBetween(quadOf(before[0]!), quadOf(before[1]!)) !== way) return false
  // Bands of one panel keep to its straight edges; two areas that merely touch do not.
  const first = quadOf(before[0]!)
  const outer: Quad = way === 'down' ? [first[0], first[1], quad[2], quad[3]] : [first[0], quad[1], quad[2], first[3]]
  const seam = way === 'down' ? quad[0] : quad[0]
  const end = way === 'down' ? quad[1] : quad[3]
  const [s, e] = [placeUnder(outer, seam), placeUnder(outer, end)]
  if (!s || !e) return false
  const [across, along] = way === 'down' ? [0, 1] : [1, 0]
  return Math.abs(s[across]!) < 1e-3 && Math.abs(e[across]! - 1) < 1e-3 && Math.abs(s[along]! - e[along]!) < 1e-3
}

function wayBetween(first: Quad, second: Quad): BandsMark['run'] | null {
  const slack = 1e-4 * Math.sqrt(Math.abs(signedArea(first)))
  if (near(first[3], second[0], slack) && near(first[2], second[1], slack)) return 'down'
  if (near(first[1], second[0], slack) && near(first[2], second[3], slack)) return 'right'
  return null
}

function joined(areas: MarkedArea[]): BandsMark {
  const quads = areas.map(quadOf)
  const [first, last] = [quads[0]!, quads.at(-1)!]
  const run = quads.length > 1 ? wayBetween(first, quads[1]!)! : 'down'
  const quad: Quad = run === 'down' ? [first[0], first[1], last[2], last[3]] : [first[0], last[1], last[2], first[3]]
  const cuts = quads.slice(1).map((q) => placeUnder(quad, q[0])![run === 'down' ? 1 : 0])
  return { kind: 'bands', quad, run, cuts, stepIds: areas.map((a) => a.stepId) }
}

/** What cannot stand for a flat panel or card, in words; null when all is well. */
export function faultIn(marks: Marks): string | null {
  const crossed = (quad: Quad) => !isWellShaped(quad)
  if (marks.list.some((mark) => mark.kind !== 'round' && crossed(mark.quad)))
    return 'Pull the panel’s corners apart: its outline crosses itself'
  if (marks.card && crossed(marks.card.quad)) return 'Pull the card’s corners apart: its outline crosses itself'
  if (marks.tiles.some((tile) => crossed(tile.quad))) return 'Pull the tile’s corners apart: its outline crosses itself'
  if (marks.chart && crossed(marks.chart.quad)) return 'Pull the chart’s corners apart: its outline crosses itself'
  return null
}
