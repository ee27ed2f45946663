import type { Rectangle } from '../../../electron/service/demonstration/picture/geometry.ts'
import type { Random } from '../../../electron/service/demonstration/random.ts'
import { troubleGlare, usualGlares } from './picture/glares.ts'
import { layOut, type Piece } from './picture/place.ts'
import type { Field, Shot, Thing } from './picture/shot.ts'
import { sceneData, type Values } from './spectra/data.ts'
import { type Light, unlikeLights } from './spectra/lights.ts'
import { neutral, wavy } from './spectra/paints.ts'
import type { Trouble, Wish } from './wish.ts'

/** What lies on the bench, and where. */
export type Placed = {
  things: Thing[]
  cardOn: Rectangle
  tilesOn: Rectangle[]
  chartOn: Rectangle | null
  panelsOn: Rectangle[]
}

export function thingsOf(random: Random, wish: Wish, portrait: boolean, longMm: number): Placed {
  const crowded = wish.paints.length > 1 || wish.chart
  const lying = !crowded && random.chance(0.45)
  const pieces: Piece[] = wish.paints.map((_, i) => ({
    name: `panel${i}`,
    along: lying ? 150 : 100,
    across: lying ? 100 : 150,
  }))
  const smallCard = wish.chart || random.chance(0.2)
  const beside: Piece[] = [{ name: 'card', along: smallCard ? 40 : 50, across: smallCard ? 60 : 80 }]
  if (wish.chart) beside.push({ name: 'chart', along: 76, across: 112 })
  if (random.chance(0.5)) beside.reverse()
  if (random.chance(0.5)) pieces.push(...beside)
  else pieces.unshift(...beside)
  const on = new Map(layOut(random, pieces, longMm, portrait).map((place, i) => [pieces[i]!.name, place]))
  const cardOn = on.get('card')!
  const cardLightness = random.between(48, 54)
  const things: Thing[] = []
  const sheen = random.chance(0.25) ? random.between(0, 0.006) : 0
  things.push({ what: 'flat', on: cardOn, reflectance: neutral(random, cardLightness), sheen })
  const tilesOn: Rectangle[] = []
  if (wish.tiles) {
    const side = 32
    const beyond = ((portrait ? cardOn.widthMm : cardOn.heightMm) + side) / 2
    const along = random.chance(0.5) ? 1 : -1
    for (const [lightness, to] of [
      [random.between(92, 96), along],
      [random.between(14, 24), -along],
    ] as const) {
      const [off, aside] = [to * (beyond + random.between(3, 8)), random.between(-6, 6)]
      const [dx, dy] = portrait ? [off, aside] : [aside, off]
      const tile = { ...cardOn, widthMm: side, heightMm: side, xMm: cardOn.xMm + dx, yMm: cardOn.yMm + dy }
      tilesOn.push(tile)
      things.push({ what: 'flat', on: tile, reflectance: neutral(random, lightness, 0.012), sheen: 0 })
    }
  }
  let chartOn: Rectangle | null = null
  const space = on.get('chart')
  if (space) {
    // The chart's own long side is its width: six patches.
    const turns = space.heightMm > space.widthMm ? random.pick([1, 3]) : random.pick([0, 2])
    chartOn = { xMm: space.xMm, yMm: space.yMm, turn: space.turn + (turns * Math.PI) / 2, widthMm: 108, heightMm: 72 }
    things.push(chartThing(random, chartOn))
  }
  const panelsOn = wish.paints.map((paint, i) => {
    const place = on.get(`panel${i}`)!
    const glares =
      wish.trouble === 'panel-mostly-glare' ? troubleGlare(random, place) : usualGlares(random, place, paint)
    things.push({ what: 'panel', on: place, paint, glares, haze: paint.gloss * random.between(0, 0.003) })
    return place
  })
  return { things, cardOn, tilesOn, chartOn, panelsOn }
}

/** A chart whose patches are one press run's. */
export const chartThing = (random: Random, on: Rectangle): Extract<Thing, { what: 'chart' }> => ({
  what: 'chart',
  on,
  patches: sceneData().chart.map((patch) => print(random, patch)),
  frame: neutral(random, random.between(14, 24)),
  frameMm: random.between(1.5, 4),
  fill: random.between(0.8, 0.92),
})

/** A chart's patch as one press run has it: half a dE00 or so from the mean of many. */
function print(random: Random, patch: Values): Values {
  const drift = wavy(random, 0.012)
  return patch.map((r, i) => Math.min(0.98, r * drift(380 + 5 * i)))
}

export function fieldOf(random: Random): Field {
  const around = random.between(0, 2 * Math.PI)
  const far = random.between(0, 400)
  return {
    lamp: { at: [far * Math.cos(around), far * Math.sin(around)], heightMm: random.between(700, 1900) },
    slope: [0.02 * random.normal(), 0.02 * random.normal()],
  }
}

type Second = { base: Light; light: Light; field: Field; strength: number }

/** A window beside the lamp: hardly felt in a good photo, all over a bad one. */
export function secondLight(random: Random, trouble: Trouble | null): Second | null {
  const [base, light] = unlikeLights(random)
  const around = random.between(0, 2 * Math.PI)
  const from = (far: number, heightMm: number): Field => ({
    lamp: { at: [far * Math.cos(around), far * Math.sin(around)], heightMm },
    slope: [0, 0],
  })
  if (trouble === 'mixed-light') {
    const field = from(random.between(200, 600), random.between(150, 500))
    return { base, light, field, strength: 0.12 * 10 ** random.next() }
  }
  if (trouble !== null || random.chance(0.75)) return null
  return {
    base,
    light,
    field: from(random.between(0, 600), random.between(500, 2000)),
    strength: random.between(0, 0.04),
  }
}

export function specksOver(random: Random, panels: Rectangle[], widthMm: number, heightMm: number): Shot['specks'] {
  const dusty = random.chance(0.5) ? random.whole(0, 12) : random.whole(10, 90)
  return Array.from({ length: dusty }, () => {
    const panel = random.chance(0.6) ? random.pick(panels) : null
    const [x, y] = panel
      ? [panel.xMm + random.between(-0.5, 0.5) * panel.widthMm, panel.yMm + random.between(-0.5, 0.5) * panel.heightMm]
      : [random.between(-0.5, 0.5) * widthMm, random.between(-0.5, 0.5) * heightMm]
    const radius = 0.12 * 12 ** (random.next() * random.next())
    return {
      x,
      y,
      radius,
      reflectance: random.chance(0.5) ? random.between(0.5, 0.8) : random.between(0.02, 0.1),
      opacity: random.between(0.3, 1),
    }
  })
}
