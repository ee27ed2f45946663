import type { Rectangle } from '../../../../electron/service/demonstration/picture/geometry.ts'
import type { Random } from '../../../../electron/service/demonstration/random.ts'
import type { Paint } from '../spectra/paints.ts'
import { glareAt } from './fields.ts'
import type { Glare } from './shot.ts'

/** Light above this share of a white's hides the paint. */
const hiding = 0.02

/** Share of a panel on which reflections add more than `hiding`. */
function covered(glares: Glare[], on: Rectangle): number {
  let count = 0
  for (let i = 0; i < 24; i++)
    for (let j = 0; j < 24; j++) {
      const [u, v] = [((i + 0.5) / 24 - 0.5) * on.widthMm, ((j + 0.5) / 24 - 0.5) * on.heightMm]
      if (glares.reduce((sum, glare) => sum + glareAt(glare, u, v), 0) > hiding) count++
    }
  return count / 576
}

function spot(random: Random, on: Rectangle, gloss: number): Glare {
  const size = random.between(6, 26)
  return {
    x: random.between(-0.55, 0.55) * on.widthMm,
    y: random.between(-0.55, 0.55) * on.heightMm,
    turn: random.between(0, Math.PI),
    halfLength: size * random.between(1, 1.8),
    halfWidth: size,
    softness: 0.15 + (1.2 - gloss) * random.between(0.2, 1),
    strength: 0.25 * 24 ** random.next(),
  }
}

/** A tube crosses the whole panel. */
function tube(random: Random, on: Rectangle, gloss: number): Glare {
  return {
    ...spot(random, on, gloss),
    halfLength: random.between(90, 400),
    halfWidth: random.between(2, 9),
    strength: 0.15 * 16 ** random.next(),
  }
}

/** A bright wall or ceiling: broad and faint. */
function sheen(random: Random, on: Rectangle): Glare {
  return {
    ...spot(random, on, 0),
    halfLength: random.between(80, 300),
    halfWidth: random.between(8, 35),
    softness: 0.9,
    strength: random.between(0.004, 0.05),
  }
}

/** What is usually reflected: nothing, a lamp or two, a tube, a faint band; never more than 40 % of the panel hidden. */
export function usualGlares(random: Random, on: Rectangle, { gloss }: Paint): Glare[] {
  for (;;) {
    const glares: Glare[] = []
    if (random.chance(0.65)) glares.push(spot(random, on, gloss))
    if (random.chance(0.25)) glares.push(spot(random, on, gloss))
    if (random.chance(0.15)) glares.push(tube(random, on, gloss))
    if (random.chance(0.35)) glares.push(sheen(random, on))
    if (covered(glares, on) <= 0.4) return glares
  }
}

/** A window or softbox that lies over nearly all of the panel. */
export function troubleGlare(random: Random, on: Rectangle): Glare[] {
  for (;;) {
    const size = random.between(0.5, 1.2)
    const glare: Glare = {
      x: random.between(-0.2, 0.2) * on.widthMm,
      y: random.between(-0.2, 0.2) * on.heightMm,
      turn: random.between(0, Math.PI),
      halfLength: size * Math.max(on.widthMm, on.heightMm),
      halfWidth: size * Math.min(on.widthMm, on.heightMm),
      softness: random.between(0.1, 0.5),
      strength: random.between(0.7, 5),
    }
    if (covered([glare], on) > 0.8) return [glare]
  }
}
