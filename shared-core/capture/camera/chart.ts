import type { Lab } from '../../colour/lab.ts'
import type { Chart, Point, Quad } from '../../records/area.ts'
import { homographyBetween, mapPoint } from '../geometry.ts'

/**
 * CIELAB (D50, 2°) of a 24-patch colour-rendition chart, row by row from "dark skin" to "black": the mean of 30 measured
 * charts. Source: D. Pascale, RGB coordinates of the chart (2012), as carried by open colour packages; the layout is that
 * of C. McCamy, H. Marcus, J. Davidson, J. Appl. Photogr. Eng. 2 (1976) 95–99.
 */
const avg30: readonly (readonly [number, number, number])[] = [
  [38.446, 13.601, 14.536],
  [65.943, 17.88, 17.879],
  [50.061, -4.512, -22.261],
  [43.286, -13.234, 21.943],
  [55.319, 8.829, -24.599],
  [70.691, -33.034, -0.115],
  [62.651, 35.351, 57.848],
  [40.246, 9.757, -44.366],
  [51.599, 47.795, 16.889],
  [30.496, 21.06, -20.029],
  [72.462, -23.288, 57.004],
  [71.947, 19.475, 68.141],
  [28.876, 14.795, -50.137],
  [55.144, -37.812, 31.641],
  [42.277, 54.102, 28.679],
  [82.276, 4.025, 80.018],
  [51.916, 49.799, -13.829],
  [50.722, -28.105, -27.944],
  [96.529, -0.471, 2.403],
  [81.209, -0.659, 0.273],
  [66.482, -0.533, -0.024],
  [50.827, -0.628, -0.147],
  [35.849, -0.543, -0.503],
  [20.828, 0.024, -0.387],
]

const tables = { avg30 }

/** Colours of a chart's patches, D50, 2°, in order. */
export const chartColours = (table: Chart['table']): Lab[] => tables[table].map(([l, a, b]) => ({ l, a, b }))

const columns = 6
const rows = 4

/** The middle of one patch. @param patch 1 to 24, row by row @param window share of the patch's side */
export function patchQuad(chart: Quad, patch: number, window: number): Quad {
  const grid: Quad = [
    [0, 0],
    [columns, 0],
    [columns, rows],
    [0, rows],
  ]
  const toPhoto = homographyBetween(grid, chart)
  const x = ((patch - 1) % columns) + 0.5
  const y = Math.floor((patch - 1) / columns) + 0.5
  const half = window / 2
  const at = (dx: number, dy: number): Point => mapPoint(toPhoto, [x + dx * half, y + dy * half])
  return [at(-1, -1), at(1, -1), at(1, 1), at(-1, 1)]
}
