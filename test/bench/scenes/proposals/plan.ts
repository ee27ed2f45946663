import { quadOf, type Rectangle } from '../../../../electron/service/demonstration/picture/geometry.ts'
import { type Random, randomFrom } from '../../../../electron/service/demonstration/random.ts'
import { differenceCiede2000 } from '../../../../shared-core/colour/difference.ts'
import type { Quad } from '../../../../shared-core/records/area.ts'
import { castOf } from '../picture/cast.ts'
import { cable, disc, tool } from '../picture/clutter.ts'
import type { Clutter, Mm, Thing } from '../picture/shot.ts'
import { pageRaster, textWidth } from '../picture/things/page-raster.ts'
import { planShot } from '../plan.ts'
import { anyCamera } from '../spectra/camera.ts'
import { anyLight } from '../spectra/lights.ts'
import { benchTop, labOf, paintOf, recipe } from '../spectra/paints.ts'
import { anyPrinter } from '../spectra/printer.ts'
import type { Planned } from '../wish.ts'

export type OpenPhoto = { planned: Planned; panels: Quad[]; cards: Quad[]; chart: Quad | null }

/** Nearer to the bench than this nobody could say where a panel ends. */
const leastApart = 6

/** An ordinary photo: one panel or two, a card, sometimes a chart, on a bench where other things lie. */
export function planOpen(seed: string): OpenPhoto {
  const random = randomFrom(seed)
  const light = anyLight(random)
  const withChart = random.chance(0.35)
  const planned = planShot({
    seed,
    camera: anyCamera(random, light),
    light,
    paints: Array.from({ length: !withChart && random.chance(0.35) ? 2 : 1 }, () => paintOf(recipe(random))),
    chart: withChart,
    balance: [0.06 * random.normal(), 0.06 * random.normal()],
    tilt: random.chance(0.5) ? 0.045 : 0.2,
  })
  const { shot } = planned
  shot.bench = otherBench(random, shot.things, shot.bench)
  const laid = shot.things.flatMap((thing) => [castOf(random, thing.on, shot.field, thickOf(thing)), thing])
  const taken = shot.things.map((thing) => thing.on)
  const beside = Array.from({ length: random.whole(0, 5) }, () =>
    anyClutter(random, shot.width, shot.height, shot.pixelsPerMm),
  )
  const free = beside.filter((one) => !taken.some((on) => touches(one, on)))
  shot.things = [...(random.chance(0.2) ? [anyPaper(random, shot.width / shot.pixelsPerMm)] : []), ...laid, ...free]
  const quads = (what: Thing['what']) =>
    laid.flatMap((thing) => (thing.what === what ? [quadOf(shot.toPhoto, thing.on)] : []))
  return { planned, panels: quads('panel'), cards: quads('flat'), chart: quads('chart')[0] ?? null }
}

const thickOf = (thing: Thing): number => (thing.what === 'panel' ? 1.5 : 0.6)

/** A bench that neither panel nor card vanishes on. */
function otherBench(random: Random, things: readonly Thing[], first: Planned['shot']['bench']) {
  const surfaces = things.flatMap((thing) =>
    thing.what === 'panel' ? [thing.paint.reflectance] : thing.what === 'flat' ? [thing.reflectance] : [],
  )
  let bench = first
  while (surfaces.some((one) => differenceCiede2000(labOf(one), labOf(bench)) < leastApart)) bench = benchTop(random)
  return bench
}

function anyClutter(random: Random, width: number, height: number, pixelsPerMm: number): Clutter {
  const at: Mm = [(random.between(-0.5, 0.5) * width) / pixelsPerMm, (random.between(-0.5, 0.5) * height) / pixelsPerMm]
  return random.pick([
    () => tool(random, at),
    () => disc(random, at, paintOf(recipe(random)).reflectance),
    () => disc(random, at, benchTop(random), random.between(4, 12)),
    () => cable(random, at),
  ])()
}

/** Whether any of its lines comes near a rectangle. */
function touches({ on: own, lines }: Clutter, on: Rectangle): boolean {
  const reach = Math.hypot(on.widthMm, on.heightMm) / 2 + 6
  const [x, y] = [on.xMm - own.xMm, on.yMm - own.yMm]
  return lines.some(({ from, to, radius }) =>
    [0, 0.25, 0.5, 0.75, 1].some(
      (t) => Math.hypot(from[0] + t * (to[0] - from[0]) - x, from[1] + t * (to[1] - from[1]) - y) < reach + radius,
    ),
  )
}

/** A written note or data sheet that lies beneath everything. */
function anyPaper(random: Random, wideMm: number): Thing {
  const printer = anyPrinter(random)
  const size = { widthMm: 148, heightMm: 210 }
  const lines = Array.from({ length: 24 }, (_, n) => ({
    kind: 'text' as const,
    xMm: 12,
    baselineMm: 20 + 7.5 * n,
    sizeMm: 3.5,
    face: 'regular' as const,
    text: 'x'.repeat(Math.round((random.between(0.3, 1) * 124) / textWidth('x', 'regular', 3.5))),
  }))
  const raster = pageRaster({ size, marks: lines }, 8)
  const on: Rectangle = {
    xMm: random.between(-0.5, 0.5) * wideMm,
    yMm: random.between(-0.4, 0.4) * wideMm,
    turn: random.between(0, Math.PI),
    ...size,
  }
  const reflectances = raster.hexes.map(printer.inkOf)
  return { what: 'page', on, raster, reflectances, grain: printer.grain, glares: [], bend: null }
}
