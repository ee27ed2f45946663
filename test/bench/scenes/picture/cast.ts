import type { Rectangle } from '../../../../electron/service/demonstration/picture/geometry.ts'
import type { Random } from '../../../../electron/service/demonstration/random.ts'
import type { Field, Thing } from './shot.ts'

/** The shadow of a flat thing: away from the lamp, as wide as the thing is thick. */
export function castOf(random: Random, on: Rectangle, field: Field, thickMm: number): Thing {
  const [dx, dy] = [on.xMm - field.lamp.at[0], on.yMm - field.lamp.at[1]]
  const by = Math.min(1.2, Math.hypot(dx, dy) / field.lamp.heightMm) * thickMm
  const around = Math.atan2(dy, dx)
  return {
    what: 'cast',
    on: { ...on, xMm: on.xMm + by * Math.cos(around), yMm: on.yMm + by * Math.sin(around) },
    depth: random.between(0.25, 0.7),
    softMm: thickMm * random.between(0.3, 0.8),
  }
}
