import type { Field, Glare, Mm, Shadow } from './shot.ts'

const smooth = (t: number): number => (t <= 0 ? 0 : t >= 1 ? 1 : t * t * (3 - 2 * t))

/** Light of a lamp over a bench: the inverse square and two cosines. */
export function lightAt({ lamp, slope }: Field, x: number, y: number): number {
  const dx = x - lamp.at[0]
  const dy = y - lamp.at[1]
  const h2 = lamp.heightMm * lamp.heightMm
  const middle = lamp.at[0] * lamp.at[0] + lamp.at[1] * lamp.at[1] + h2
  const ratio = middle / (dx * dx + dy * dy + h2)
  return ratio * ratio * (1 + (slope[0] * x + slope[1] * y) / 100)
}

export function distanceToLine(from: Mm, to: Mm, x: number, y: number): number {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]]
  const t = Math.min(1, Math.max(0, ((x - from[0]) * dx + (y - from[1]) * dy) / (dx * dx + dy * dy + 1e-9)))
  return Math.hypot(x - from[0] - t * dx, y - from[1] - t * dy)
}

/** Share of the light that a shadow takes away at a place. */
export function shadowAt(shadow: Shadow, x: number, y: number): number {
  const { soft, depth, half } = shadow
  if (half) {
    const d = (x - half.at[0]) * Math.cos(half.turn) + (y - half.at[1]) * Math.sin(half.turn)
    return depth * smooth(0.5 + d / soft)
  }
  let least = Number.POSITIVE_INFINITY
  for (const { from, to, radius } of shadow.lines) least = Math.min(least, distanceToLine(from, to, x, y) - radius)
  return depth * smooth(0.5 - least / soft)
}

/** Light of a reflection at a place on its panel. */
export function glareAt(glare: Glare, u: number, v: number): number {
  const [c, s] = [Math.cos(glare.turn), Math.sin(glare.turn)]
  const [du, dv] = [u - glare.x, v - glare.y]
  const along = (du * c + dv * s) / glare.halfLength
  const across = (dv * c - du * s) / glare.halfWidth
  const r2 = along * along + across * across
  if (r2 > (1 + 3 * glare.softness) ** 2) return 0
  const r = Math.sqrt(r2)
  return r <= 1 - glare.softness / 2
    ? glare.strength
    : glare.strength * Math.exp(-(((r - 1 + glare.softness / 2) / glare.softness) ** 2))
}
