import { quadOf, type Rectangle } from '../../../../electron/service/demonstration/picture/geometry.ts'
import { type Random, randomFrom } from '../../../../electron/service/demonstration/random.ts'
import { differenceCiede2000 } from '../../../../shared-core/colour/difference.ts'
import type { Quad } from '../../../../shared-core/records/area.ts'
import { shaken } from '../picture/place.ts'
import type { Strips } from '../picture/shot.ts'
import { planShot } from '../plan.ts'
import { anyCamera } from '../spectra/camera.ts'
import type { Values } from '../spectra/data.ts'
import { anyLight } from '../spectra/lights.ts'
import { labOf, paintOf, type Recipe, recipe } from '../spectra/paints.ts'
import type { Planned } from '../wish.ts'

export type SteppedPanel = {
  planned: Planned
  panelOn: Rectangle
  /** Null: sprayed in one go. */
  strips: Strips | null
  /** The panel's true outline, and as a hand marks it. */
  outline: Quad
  marked: Quad
  /** dE00 between the strips on both sides of each edge. */
  apart: number[]
}

/** Neighbours less apart than this nobody would tape. */
const leastApart = 2.5
const narrowestMm = 10

export function planSteps(seed: string): SteppedPanel {
  const random = randomFrom(seed)
  const light = anyLight(random)
  const own = recipe(random, 'candy')
  const coats = random.chance(0.25) ? null : coatsOf(random, own)
  const paints = coats?.map((count) => own.at(count / 4)) ?? null
  const brightest = (coats ? Math.min(...coats) : 4) / 4
  const planned = planShot({
    seed,
    camera: anyCamera(random, light),
    light,
    paints: [paintOf(own, brightest)],
    balance: [0.05 * random.normal(), 0.05 * random.normal()],
    tilt: random.chance(0.5) ? 0.045 : 0.18,
  })
  const panel = planned.shot.things.find((thing) => thing.what === 'panel')!
  const [wide, high] = [random.between(0.75, 1), random.between(0.75, 1)]
  panel.on = { ...panel.on, widthMm: panel.on.widthMm * wide, heightMm: panel.on.heightMm * high }
  const strips = paints ? stripsOn(random, panel.on, paints) : null
  if (strips) panel.strips = strips
  const outline = quadOf(planned.shot.toPhoto, panel.on)
  const labs = (paints ?? []).map(labOf)
  return {
    planned,
    panelOn: panel.on,
    strips,
    outline,
    marked: shaken(random, outline, 0.45 * planned.shot.pixelsPerMm),
    apart: labs.slice(1).map((lab, i) => differenceCiede2000(lab, labs[i]!)),
  }
}

/** Coats of each strip, rising or falling; often a strip of bare ground. */
function coatsOf(random: Random, own: Recipe): number[] {
  for (;;) {
    let count = random.chance(0.6) ? 0 : random.whole(1, 2)
    const coats = Array.from({ length: random.whole(2, 6) }, (_, n) => {
      if (n > 0) count += random.chance(0.7) ? 1 : 2
      return count
    })
    const labs = coats.map((each) => labOf(own.at(each / 4)))
    if (labs.some((lab, n) => n > 0 && differenceCiede2000(lab, labs[n - 1]!) < leastApart)) {
      if (random.chance(0.9)) continue
      // Some candies hardly change from coat to coat: two strips far apart, then.
      return [0, 4]
    }
    return random.chance(0.5) ? coats : coats.toReversed()
  }
}

function stripsOn(random: Random, on: Rectangle, paints: Values[]): Strips {
  const longer = on.widthMm > on.heightMm ? 'width' : 'height'
  const across = random.chance(0.65) ? longer : longer === 'width' ? 'height' : 'width'
  const length = across === 'width' ? on.widthMm : on.heightMm
  const shares = paints.map(() => random.between(0.6, 1.6))
  const total = shares.reduce((a, b) => a + b, 0)
  const widths = shares.map((share) => narrowestMm + (share / total) * (length - narrowestMm * paints.length))
  let at = -length / 2
  const soft = random.chance(0.3)
  const edges = widths.slice(0, -1).map((width) => {
    at += width
    return {
      atMm: at,
      lean: 0.006 * random.normal(),
      softMm: soft ? random.between(1, 4) : random.between(0.1, 0.5),
    }
  })
  const ridge = soft || random.chance(0.3) ? 0 : random.between(-0.2, 0.3)
  return { across, paints, edges, ridge }
}
