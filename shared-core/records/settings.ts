import { z } from 'zod'
import { LabRecord } from './colour.ts'
import { PanelSort } from './panel.ts'
import { Printing, usualPrinting } from './sheet.ts'
import { PanelGroup } from './wall.ts'

/** `system` follows the computer. */
export const Settings = z.object({
  theme: z.enum(['system', 'bench', 'office']),
  units: z.enum(['system', 'metric', 'us']),
  decimal: z.enum(['system', 'comma', 'point']),
  clock: z.enum(['system', '12', '24']),
  /** Who works here: stands in the history and on new panels. */
  painter: z.string().max(120),
  /** Lab (D50, 2°) of the grey card on the wall. */
  card: LabRecord,
  /** Outer size of that card: a photo's scale is taken from it. Null while nobody has measured it. */
  cardSizeMm: z.object({ width: z.number().positive().max(1000), height: z.number().positive().max(1000) }).nullable(),
  /** Lab (D50, 2°) of the white and the black tile that lie beside it. */
  whiteTile: LabRecord,
  blackTile: LabRecord,
  /** dE00 up to which two colours count as the same. */
  sameLimit: z.number().min(0.1).max(10),
  /** What was printed last, and how printers are put right. */
  printing: Printing,
  /** How panels hang when a rack is opened. */
  wall: z.object({ group: PanelGroup, sort: PanelSort, cardSize: z.int().min(56).max(224) }),
  /** Records and files are looked through every week, gently. */
  weeklyCheck: z.boolean(),
})
export type Settings = z.infer<typeof Settings>

/** The tiles of a usual set of three, white to black: common practice, no source. */
export const defaultSettings: Settings = {
  theme: 'system',
  units: 'system',
  decimal: 'system',
  clock: 'system',
  painter: '',
  card: { l: 50, a: 0, b: 0 },
  cardSizeMm: null,
  whiteTile: { l: 95, a: 0, b: 0 },
  blackTile: { l: 20, a: 0, b: 0 },
  sameLimit: 1,
  printing: usualPrinting,
  wall: { group: 'ground', sort: 'code', cardSize: 96 },
  weeklyCheck: true,
}
