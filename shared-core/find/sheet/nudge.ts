import { type Homography, mapPoint } from '../../capture/geometry.ts'
import { markCells } from '../../label/photo-sheet/corner-mark.ts'
import type { Rect } from '../../label/photo-sheet/room.ts'
import { type Grey, levelAt } from './grey.ts'

/** How far a mark is looked for from where two others say that it is, and in which steps: millimetres. */
const reachMm = 7
const stepMm = 0.7
/** Less likeness than this (1: all alike, 0: chance) is none. */
const leastAlike = 0.55

/**
 * Where on the page a mark seems to lie when the map to the photo is not yet exact: the place near its own at which the photo looks most
 * like it.
 * @param rows  of the mark, '1' dark
 * @returns     its place moved; null when nothing there is like it
 */
export function nudged(grey: Grey, toPhoto: Homography, place: Rect, rows: readonly string[]): Rect | null {
  const cellMm = place.widthMm / markCells
  const signs = Float64Array.from(rows.flatMap((row) => Array.from(row, (dark) => (dark === '1' ? -1 : 1))))
  const mean = signs.reduce((sum, sign) => sum + sign, 0) / signs.length
  const levels = new Float64Array(signs.length)
  let [bestX, bestY, most] = [0, 0, leastAlike]
  for (let dy = -reachMm; dy <= reachMm + 1e-9; dy += stepMm) {
    for (let dx = -reachMm; dx <= reachMm + 1e-9; dx += stepMm) {
      let sum = 0
      for (let at = 0; at < levels.length; at++) {
        const [column, row] = [at % markCells, Math.floor(at / markCells)]
        const x = place.xMm + dx + (column + 0.5) * cellMm
        const y = place.yMm + dy + (row + 0.5) * cellMm
        const [u, v] = mapPoint(toPhoto, [x, y])
        levels[at] = levelAt(grey, u, v)
        sum += levels[at]!
      }
      const alike = correlation(levels, sum / levels.length, signs, mean)
      if (alike > most) [bestX, bestY, most] = [dx, dy, alike]
    }
  }
  return most > leastAlike ? { ...place, xMm: place.xMm + bestX, yMm: place.yMm + bestY } : null
}

function correlation(a: Float64Array, meanA: number, b: Float64Array, meanB: number): number {
  let [ab, aa, bb] = [0, 0, 0]
  for (let i = 0; i < a.length; i++) {
    const [p, q] = [a[i]! - meanA, b[i]! - meanB]
    ab += p * q
    aa += p * p
    bb += q * q
  }
  return aa === 0 ? 0 : ab / Math.sqrt(aa * bb)
}
