import { project, quadOf, type Rectangle } from '../../../../electron/service/demonstration/picture/geometry.ts'
import { type Random, randomFrom } from '../../../../electron/service/demonstration/random.ts'
import type { Lab } from '../../../../shared-core/colour/lab.ts'
import { invert3, multiply3 } from '../../../../shared-core/colour/matrix.ts'
import type { RgbProfile } from '../../../../shared-core/colour/profile.ts'
import type { Point, Quad } from '../../../../shared-core/records/area.ts'
import { lightAt } from '../picture/fields.ts'
import { throughLens } from '../picture/lens.ts'
import type { Bend, Shot } from '../picture/shot.ts'
import { exposureOf, lensOf } from '../picture/taking.ts'
import { bentBy } from '../picture/things/page-shader.ts'
import { highest } from '../plan.ts'
import { specksOver } from '../scene.ts'
import { type Camera, rawOf } from '../spectra/camera.ts'
import type { Light } from '../spectra/lights.ts'
import { benchTop, labOf, paintOf, recipe } from '../spectra/paints.ts'
import type { Printer } from '../spectra/printer.ts'
import type { Facts } from '../wish.ts'
import { cornersOn, lieOf } from './lie.ts'
import { fieldOver, gradientOver } from './light.ts'
import type { PrintedSheet } from './page.ts'
import { layOnSheet } from './things.ts'

export type SheetWish = {
  seed: string
  sheet: PrintedSheet
  printer: Printer
  camera: Camera
  light: Light
  balance: readonly [number, number]
  withChart: boolean
}

/** A photo of a sheet with all that is to be found in it. */
export type SheetPhoto = {
  shot: Shot
  profile: RgbProfile
  sheet: PrintedSheet
  facts: Facts
  truth: SheetTruth
}

export type SheetTruth = {
  panel: Lab
  panelQuad: Quad
  /** As it stands on the card's back; null where a chart lies in its place. */
  card: { lab: Lab; quad: Quad } | null
  chartQuad: Quad | null
  /** Corner that cannot be seen: 0 top left, clockwise. */
  hidden: number | null
  tiltDegrees: number
  gradient: number
  isBent: boolean
  /** Where a place of the page (millimetres from its top left corner) is in the photo. */
  onPhoto: (place: Point) => Point
}

/** Most photos are small, so that many can be made. */
function sizeOf(random: Random): [number, number] {
  const long = random.chance(0.92) ? 1600 : Math.round(random.between(2400, 4000) / 4) * 4
  const short = Math.round(long * 0.75)
  return random.chance(0.5) ? [long, short] : [short, long]
}

export function planSheetPhoto(wish: SheetWish): SheetPhoto {
  const random = randomFrom(wish.seed)
  const { sheet, printer, camera, light } = wish
  const [width, height] = sizeOf(random)
  const hidden = random.chance(0.12) ? random.whole(0, 3) : null
  const isOut = random.chance(0.4)
  const kept = [sheet.places.window, sheet.places.card]
  const frame = { width, height, paper: sheet.print.paper, kept, mostTiltDegrees: 40 }
  const lie = lieOf(random, frame, isOut ? hidden : null)
  const { sheetOn, toPhoto, pixelsPerMm } = lie
  const field = fieldOver(random, sheetOn)
  const paint = paintOf(recipe(random))
  const covered = isOut ? null : hidden
  const laid = { sheet, sheetOn, printer, paint, field, withChart: wish.withChart, covered }
  const { things, panelOn, cardOn, chartOn, bend } = layOnSheet(random, laid)
  const white = rawOf(camera.sensor, light, null)
  const bright = (reflectance: typeof printer.paper) => highest(wish, light, white, reflectance)
  const onCorners = Math.max(...cornersOn(sheetOn).map(([x, y]) => lightAt(field, x, y)))
  const brightest = Math.max(
    lightAt(field, panelOn.xMm, panelOn.yMm) * bright(paint.reflectance),
    onCorners * bright(printer.paper),
  )
  const shot: Shot = {
    seed: wish.seed,
    width,
    height,
    pixelsPerMm,
    toPhoto,
    toBench: invert3(toPhoto),
    camera,
    light,
    field,
    second: null,
    bench: benchTop(random),
    benchGrain: random.chance(0.6) ? random.between(0, 0.01) : random.between(0.01, 0.08),
    things,
    shadows: [],
    specks: specksOver(random, [panelOn], width / pixelsPerMm, height / pixelsPerMm),
    balance: [Math.exp(wish.balance[0]), 1, Math.exp(wish.balance[1])],
    balanceLast: false,
    white,
    exposure: exposureOf(random, { camera, trouble: null, brightest }),
    ...lensOf(random, null),
    vignette: random.between(0, 0.3),
    lensBends: random.between(-0.002, 0.002),
  }
  const quadSeen = (on: Rectangle) =>
    quadOf(toPhoto, on).map((corner) => throughLens(corner, shot, shot.lensBends ?? 0)) as Quad
  const card = things.find((thing) => thing.what === 'flat')
  return {
    shot,
    profile: camera.profile,
    sheet,
    truth: {
      panel: labOf(paint.reflectance),
      panelQuad: quadSeen(panelOn),
      card: cardOn && card ? { lab: asTyped(labOf(card.reflectance)), quad: quadSeen(cardOn) } : null,
      chartQuad: chartOn && quadSeen(chartOn),
      hidden,
      tiltDegrees: lie.tiltDegrees,
      gradient: gradientOver(field, sheetOn),
      isBent: bend !== null,
      onPhoto: placer(sheetOn, shot, bend),
    },
    facts: {
      trouble: null,
      tone: camera.tone.name,
      light: light.name,
      space: camera.space,
      kinds: [paint.kind],
      flare: shot.flare,
      clipped: shot.exposure * brightest > 0.985 * camera.tone.headroom,
      unevenness: [],
    },
  }
}

/** The numbers on a card's back have one decimal. */
const asTyped = ({ l, a, b }: Lab): Lab => ({ l: round1(l), a: round1(a), b: round1(b) })
const round1 = (v: number): number => Math.round(10 * v) / 10

function placer(on: Rectangle, shot: Shot, bend: Bend | null): (place: Point) => Point {
  const [c, s] = [Math.cos(on.turn), Math.sin(on.turn)]
  const fromPage = multiply3(shot.toPhoto, [c, -s, on.xMm, s, c, on.yMm, 0, 0, 1])
  return ([x, y]) => {
    const [u, v] = [x - on.widthMm / 2, y - on.heightMm / 2]
    const [du, dv] = bend ? bentBy(bend, u, v) : [0, 0]
    return throughLens(project(fromPage, u + du, v + dv), shot, shot.lensBends ?? 0)
  }
}
