import type { Rectangle } from '../../../../electron/service/demonstration/picture/geometry.ts'
import type { Random } from '../../../../electron/service/demonstration/random.ts'
import { shadowAt } from './fields.ts'
import type { Mm, Shadow } from './shot.ts'

/** Mean share of light that a shadow takes from a rectangle, and the share of it in which that is felt. */
function over(shadow: Shadow, on: Rectangle): { mean: number; felt: number } {
  const [c, s] = [Math.cos(on.turn), Math.sin(on.turn)]
  let [sum, felt] = [0, 0]
  for (let i = 0; i < 12; i++)
    for (let j = 0; j < 12; j++) {
      const [u, v] = [((i + 0.5) / 12 - 0.5) * on.widthMm, ((j + 0.5) / 12 - 0.5) * on.heightMm]
      const dark = shadowAt(shadow, on.xMm + c * u - s * v, on.yMm + s * u + c * v)
      sum += dark
      if (dark > 0.03) felt++
    }
  return { mean: sum / 144, felt: felt / 144 }
}

/** An arm that reaches in from outside, a hand at its end. */
function arm(random: Random): Shadow {
  const around = random.between(0, 2 * Math.PI)
  const at = (radius: number): Mm => [radius * Math.cos(around), radius * Math.sin(around)]
  const [tip, wrist, elbow] = [at(random.between(60, 150)), at(random.between(150, 220)), at(500)]
  const fingers = [-0.35, 0, 0.35].map((spread) => ({
    from: wrist,
    to: [tip[0] + 40 * spread * -Math.sin(around), tip[1] + 40 * spread * Math.cos(around)] as Mm,
    radius: random.between(8, 16),
  }))
  return {
    lines: [...fingers, { from: wrist, to: elbow, radius: random.between(25, 50) }],
    half: null,
    soft: random.between(8, 40),
    depth: random.between(0.2, 0.65),
  }
}

function edge(random: Random): Shadow {
  const turn = random.between(0, 2 * Math.PI)
  const out = random.between(40, 170)
  return {
    lines: [],
    half: { at: [out * Math.cos(turn), out * Math.sin(turn)], turn },
    soft: random.between(5, 70),
    depth: random.between(0.2, 0.6),
  }
}

/** Sometimes a hand or whoever takes the photo: over up to a third of a panel, never over card, tiles or chart. */
export function usualShadow(random: Random, panels: Rectangle[], references: Rectangle[]): Shadow[] {
  if (random.chance(0.7)) return []
  for (let attempt = 0; attempt < 60; attempt++) {
    const shadow = random.chance(0.5) ? arm(random) : edge(random)
    if (references.some((on) => over(shadow, on).mean > 0.004)) continue
    if (panels.every((on) => over(shadow, on).felt < 0.35)) return [shadow]
  }
  return []
}

/** A straight edge across the card. */
export function shadowOverCard(random: Random, card: Rectangle): Shadow {
  for (;;) {
    const turn = random.between(0, 2 * Math.PI)
    const off = random.between(-0.2, 0.2) * card.widthMm
    const at: Mm = [card.xMm + off * Math.cos(turn), card.yMm + off * Math.sin(turn)]
    const shadow: Shadow = {
      lines: [],
      half: { at, turn },
      soft: random.between(4, 30),
      depth: random.between(0.28, 0.6),
    }
    const { felt } = over(shadow, card)
    if (felt > 0.3 && felt < 0.75) return shadow
  }
}
