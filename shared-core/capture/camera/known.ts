import type { DecodeTables } from '../../colour/profile.ts'
import type { Card, Chart, Layout, Quad } from '../../records/area.ts'
import { middleOf } from '../geometry.ts'
import { gridOf } from '../grid.ts'
import { findPaint } from '../paint.ts'
import type { Pixels, Triple } from '../pixels.ts'
import { chartColours, patchQuad } from './chart.ts'
import type { Known } from './fit.ts'

/** A card or tile is larger, cleaner and more surely known than a patch of a chart. */
const ofTile: Triple = [1 / 2, 1 / 2, 1 / 2]
const ofPatch: Triple = [1, 1, 1]
/** Share of a patch's side that is read: its edge is blurred, and marking it by hand is not exact. */
export const patchWindow = 0.42
/** A place with more numbers at the file's limit than this is brighter than it looks. */
const mostAtLimit = 0.02

/** Light of one evenly coloured place; null when it cannot be trusted. */
export function readPlace(pixels: Pixels, tables: DecodeTables, quad: Quad): Triple | null {
  const grid = gridOf(pixels, tables, { kind: 'quad', quad })
  const paint = grid && findPaint(grid, [1, 1, 1])
  if (!grid || !paint || paint.atLimit > mostAtLimit) return null
  const full = Math.max(...grid.atFull) / grid.pixelCount
  const zero = Math.max(...grid.atZero) / grid.pixelCount
  return full > mostAtLimit || zero > 0.5 ? null : paint.linear
}

/** The further tiles that can be read. */
export function readTiles(pixels: Pixels, tables: DecodeTables, tiles: Layout['tiles']): Known[] {
  return (tiles ?? []).flatMap(({ quad, lab }) => {
    const light = readPlace(pixels, tables, quad)
    return light ? [{ light, lab, deviation: ofTile, place: middleOf(quad) }] : []
  })
}

/** The card as a known place. */
export const knownCard = (light: Triple, { lab, quad }: Card): Known => ({
  light,
  lab,
  deviation: ofTile,
  place: middleOf(quad),
})

/** A chart's patches in order; null where one cannot be trusted. */
export function readChart(pixels: Pixels, tables: DecodeTables, chart: Chart): (Known | null)[] {
  return chartColours(chart.table).map((lab, i) => {
    const quad = patchQuad(chart.quad, i + 1, patchWindow)
    const light = readPlace(pixels, tables, quad)
    return light && { light, lab, deviation: ofPatch, place: middleOf(quad) }
  })
}
