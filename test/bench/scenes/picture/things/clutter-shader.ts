import { distanceToLine } from '../fields.ts'
import type { Canvas } from '../render.ts'
import type { Thing } from '../shot.ts'
import { mixed, type Shader } from './render-things.ts'

/** Rounded things lit from above; `out` stays negative where there is none. */
export function clutterShader({ rawIn, share }: Canvas, thing: Extract<Thing, { what: 'clutter' }>): Shader {
  const own = rawIn(thing.reflectance)
  return (u, v, i, _x, _y, out) => {
    let [inside, radius] = [Number.NEGATIVE_INFINITY, 1]
    for (const line of thing.lines) {
      const d = line.radius - distanceToLine(line.from, line.to, u, v)
      if (d > inside) [inside, radius] = [d, line.radius]
    }
    if (inside <= 0) return 0
    const height = Math.sqrt(Math.max(0, 1 - (1 - Math.min(1, inside / radius)) ** 2))
    const light = 1 - thing.round * (1 - height)
    for (let k = 0; k < 3; k++) out[k] = mixed(share, i, own, k) * light
    return inside
  }
}
