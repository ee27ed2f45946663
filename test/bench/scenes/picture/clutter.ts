import type { Rectangle } from '../../../../electron/service/demonstration/picture/geometry.ts'
import type { Random } from '../../../../electron/service/demonstration/random.ts'
import type { Values } from '../spectra/data.ts'
import { skin, toolGrey } from '../spectra/hides.ts'
import type { Clutter, Mm } from './shot.ts'

type Line = Clutter['lines'][number]

/** Something made of thick lines whose middle lies at a place of the bench. */
function clutter(at: Mm, lines: Line[], reflectance: Values, round: number): Clutter {
  const reach = Math.max(...lines.flatMap(({ from, to, radius }) => [...from, ...to].map((v) => Math.abs(v) + radius)))
  const on: Rectangle = { xMm: at[0], yMm: at[1], turn: 0, widthMm: 2 * reach + 2, heightMm: 2 * reach + 2 }
  return { what: 'clutter', on, lines, reflectance, round }
}

const turned = (angle: number, along: number, across: number): Mm => [
  along * Math.cos(angle) - across * Math.sin(angle),
  along * Math.sin(angle) + across * Math.cos(angle),
]

/** Fingers or a thumb whose tips lie around a place, the hand reaching away from `inwards`. */
export function hand(random: Random, at: Mm, away: number): Clutter {
  const reflectance = random.chance(0.3) ? toolGrey(random) : skin(random)
  const fingers = random.whole(1, 4)
  const lines: Line[] = Array.from({ length: fingers }, (_, n) => ({
    from: turned(away, -random.between(5, 18), (n - (fingers - 1) / 2) * 17),
    to: turned(away, 60, (n - (fingers - 1) / 2) * 13),
    radius: random.between(7, 10),
  }))
  lines.push({ from: turned(away, 75, 0), to: turned(away, 190, 0), radius: random.between(26, 40) })
  return clutter(at, lines, reflectance, random.between(0.3, 0.7))
}

/** A spray gun's handle, a knife, a marker, a spanner: a thick line, sometimes with a head. */
export function tool(random: Random, at: Mm, angle = random.between(0, 2 * Math.PI)): Clutter {
  const half = random.between(50, 110)
  const radius = random.between(4, 14)
  const lines: Line[] = [{ from: turned(angle, -half, 0), to: turned(angle, half, 0), radius }]
  if (random.chance(0.5)) {
    const wide = radius * random.between(1.2, 2.2)
    lines.push({ from: turned(angle, half, -wide), to: turned(angle, half, wide), radius: radius * 0.8 })
  }
  return clutter(at, lines, toolGrey(random), random.between(0.1, 0.7))
}

/** Washers, nuts, a cup from above, a roll of tape. */
export function disc(random: Random, at: Mm, reflectance: Values, radius = random.between(5, 40)): Clutter {
  return clutter(at, [{ from: [0, 0], to: [0, 0], radius }], reflectance, random.between(0, 0.5))
}

/** A cable or hose that winds over the bench. */
export function cable(random: Random, at: Mm): Clutter {
  const radius = random.between(2, 6)
  let angle = random.between(0, 2 * Math.PI)
  let from = turned(angle, -120, 0)
  const lines = Array.from({ length: 9 }, (): Line => {
    angle += random.between(-0.5, 0.5)
    const step = turned(angle, 30, 0)
    const to: Mm = [from[0] + step[0], from[1] + step[1]]
    const line = { from, to, radius }
    from = to
    return line
  })
  return clutter(at, lines, toolGrey(random), random.between(0.3, 0.8))
}
