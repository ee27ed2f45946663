import type { Rectangle } from '../../../../electron/service/demonstration/picture/geometry.ts'
import type { Random } from '../../../../electron/service/demonstration/random.ts'
import type { Rect } from '../../../../shared-core/label/photo-sheet/room.ts'
import { castOf } from '../picture/cast.ts'
import { hand, tool } from '../picture/clutter.ts'
import { usualGlares } from '../picture/glares.ts'
import type { Bend, Field, Mm, Thing } from '../picture/shot.ts'
import { chartThing } from '../scene.ts'
import { neutral, type Paint } from '../spectra/paints.ts'
import type { Printer } from '../spectra/printer.ts'
import { cornersOn, lyingOn } from './lie.ts'
import { paperGlares } from './light.ts'
import type { PrintedSheet } from './page.ts'

export type SheetThings = {
  things: Thing[]
  panelOn: Rectangle
  cardOn: Rectangle | null
  chartOn: Rectangle | null
  bend: Bend | null
}

export type Laid = {
  sheet: PrintedSheet
  sheetOn: Rectangle
  printer: Printer
  paint: Paint
  field: Field
  withChart: boolean
  /** A corner that something lies over. */
  covered: number | null
}

/** By hand: not quite straight, not quite in the middle. */
const byHand = (random: Random, mostMm: number, mostDegrees: number) => ({
  dx: random.between(-mostMm, mostMm),
  dy: random.between(-mostMm, mostMm),
  turn: (random.between(-mostDegrees, mostDegrees) * Math.PI) / 180,
})

export function layOnSheet(random: Random, laid: Laid): SheetThings {
  const { sheet, sheetOn, printer, paint, field, withChart, covered } = laid
  const { places, raster } = sheet
  const bend = random.chance(0.12) ? anyBend(random, sheetOn) : null
  const things: Thing[] = [
    castOf(random, sheetOn, field, 0.3),
    {
      what: 'page',
      on: sheetOn,
      raster,
      reflectances: raster.hexes.map(printer.inkOf),
      grain: printer.grain,
      glares: paperGlares(random, sheetOn),
      bend,
    },
  ]
  const less = random.chance(0.2) ? random.between(0.92, 0.98) : 1
  const panelOn = lyingOn(sheetOn, shrunk(places.window, less), byHand(random, 2.5, 2))
  const glares = usualGlares(random, panelOn, paint)
  const haze = paint.gloss * random.between(0, 0.003)
  things.push(castOf(random, panelOn, field, random.between(0.6, 2.5)))
  things.push({ what: 'panel', on: panelOn, paint, glares, haze })
  let [cardOn, chartOn]: [Rectangle | null, Rectangle | null] = [null, null]
  if (withChart) {
    const chart = chartOver(random, sheetOn, places.chart)
    chartOn = chart.on
    const widthMm = chartOn.widthMm + 2 * chart.frameMm
    const heightMm = chartOn.heightMm + 2 * chart.frameMm
    things.push(castOf(random, { ...chartOn, widthMm, heightMm }, field, 0.8), chart)
  }
  if (!withChart || !places.shared) {
    // Sometimes a smaller card than the place is for.
    const size = random.chance(0.15) ? 0.75 : 1
    cardOn = lyingOn(sheetOn, shrunk(places.card, size), byHand(random, 2.5, 2))
    const sheen = random.chance(0.25) ? random.between(0, 0.006) : 0
    const reflectance = neutral(random, random.between(48, 54))
    things.push(castOf(random, cardOn, field, 0.6), { what: 'flat', on: cardOn, reflectance, sheen })
  }
  if (covered !== null) things.push(over(random, sheetOn, covered))
  return { things, panelOn, cardOn, chartOn, bend }
}

const shrunk = ({ xMm, yMm, widthMm, heightMm }: Rect, to: number): Rect => ({
  xMm: xMm + (widthMm * (1 - to)) / 2,
  yMm: yMm + (heightMm * (1 - to)) / 2,
  widthMm: widthMm * to,
  heightMm: heightMm * to,
})

/** A chart with its six patches along the place's long side, either end up; its frame may be part of the place's size. */
function chartOver(random: Random, sheetOn: Rectangle, place: Rect): Extract<Thing, { what: 'chart' }> {
  const frameMm = random.between(1.5, 4)
  const less = random.chance(0.65) ? 2 * frameMm : 0
  const [widthMm, heightMm] = [
    Math.max(place.widthMm, place.heightMm) - less,
    Math.min(place.widthMm, place.heightMm) - less,
  ]
  const turns = place.heightMm > place.widthMm ? random.pick([1, 3]) : random.pick([0, 2])
  const xMm = place.xMm + (place.widthMm - widthMm) / 2
  const yMm = place.yMm + (place.heightMm - heightMm) / 2
  const { dx, dy, turn } = byHand(random, 2, 1.5)
  const on = lyingOn(sheetOn, { xMm, yMm, widthMm, heightMm }, { dx, dy, turn: turn + (turns * Math.PI) / 2 })
  return { ...chartThing(random, on), frameMm }
}

/** One end or corner of the sheet does not lie flat. */
function anyBend(random: Random, { widthMm, heightMm }: Rectangle): Bend {
  const corner = random.pick([
    [-1, -1],
    [1, -1],
    [1, 1],
    [-1, 1],
  ] as const)
  const towards = Math.atan2(corner[1] * heightMm, corner[0] * widthMm) + random.between(-0.5, 0.5)
  const half = Math.hypot(widthMm, heightMm) / 2
  const begins = random.between(0.1, 0.5) * half
  return {
    from: [begins * Math.cos(towards), begins * Math.sin(towards)],
    towards,
    reachMm: half - begins,
    byMm: -random.between(0.2, 0.8),
  }
}

/** A hand that holds the sheet or a tool left on it, over the mark in a corner. */
function over(random: Random, sheetOn: Rectangle, corner: number): Thing {
  const [x, y] = cornersOn(sheetOn)[corner]!
  const away = Math.atan2(y - sheetOn.yMm, x - sheetOn.xMm)
  const into = random.between(12, 20)
  const at: Mm = [x - into * Math.cos(away), y - into * Math.sin(away)]
  return random.chance(0.6) ? hand(random, at, away) : tool(random, at, away + Math.PI / 2 + random.between(-0.5, 0.5))
}
