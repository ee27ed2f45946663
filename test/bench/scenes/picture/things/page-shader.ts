import { textures, tileMask } from '../../../../../electron/service/demonstration/picture/textures.ts'
import { randomFrom } from '../../../../../electron/service/demonstration/random.ts'
import { type Matrix3, multiply3 } from '../../../../../shared-core/colour/matrix.ts'
import { glareAt } from '../fields.ts'
import type { Canvas } from '../render.ts'
import type { Bend, Mm, Thing } from '../shot.ts'
import { mixedTile, tileCells } from './page-raster.ts'
import { mixed, type Shader } from './render-things.ts'

/** Each pixel looks at up to this many places a side of the page beneath it. */
const mostSamples = 4

/** How far a point of a page lies from where it would on a flat one, as the camera sees it; millimetres on the page. */
export function bentBy({ from, towards, reachMm, byMm }: Bend, u: number, v: number): Mm {
  const along = ((u - from[0]) * Math.cos(towards) + (v - from[1]) * Math.sin(towards)) / reachMm
  const off = along > 0 ? byMm * along * along : 0
  return [off * Math.cos(towards), off * Math.sin(towards)]
}

/** Printed paper: what the raster says beneath each pixel, averaged over it. */
export function pageShader({ shot, rawIn, share }: Canvas, thing: Extract<Thing, { what: 'page' }>): Shader {
  const { on, raster, reflectances, bend, glares } = thing
  const { perMm, columns, rows, inks, tiles } = raster
  const both = reflectances.map(rawIn)
  const white = rawIn(null)
  const { grain } = textures()
  const random = randomFrom(`${shot.seed}/page ${on.xMm}`)
  const [ox, oy] = [random.whole(0, tileMask), random.whole(0, tileMask)]
  const toPage = pageFromPhoto(on, shot.toBench)
  const [hw, hh] = [on.widthMm / 2, on.heightMm / 2]
  const samples = Math.min(mostSamples, Math.max(2, Math.ceil(perMm / shot.pixelsPerMm)))
  const first = new Float64Array(3)
  const second = new Float64Array(3)
  const add = (ink: number) => {
    const [one, other] = both[ink]!
    for (let k = 0; k < 3; k++) first[k]! += one[k]!
    if (share) for (let k = 0; k < 3; k++) second[k]! += other[k]!
  }
  const inkAt = (px: number, py: number): number => {
    const w = toPage[6] * px + toPage[7] * py + toPage[8]
    let u = (toPage[0] * px + toPage[1] * py + toPage[2]) / w
    let v = (toPage[3] * px + toPage[4] * py + toPage[5]) / w
    if (bend) {
      const [du, dv] = bentBy(bend, u, v)
      u -= du
      v -= dv
    }
    const column = Math.min(columns - 1, Math.max(0, ((u + hw) * perMm) | 0))
    const row = Math.min(rows - 1, Math.max(0, ((v + hh) * perMm) | 0))
    return inks[row * columns + column]!
  }
  return (u, v, i, x, y, out) => {
    const column = Math.min(columns - 1, Math.max(0, ((u + hw) * perMm) | 0))
    const row = Math.min(rows - 1, Math.max(0, ((v + hh) * perMm) | 0))
    const even = tiles.inks[((row / tileCells) | 0) * tiles.columns + ((column / tileCells) | 0)]!
    const print = 1 + thing.grain * grain[(((y + oy) & tileMask) << 9) | ((x + ox) & tileMask)]!
    if (even !== mixedTile) for (let k = 0; k < 3; k++) out[k] = print * mixed(share, i, both[even]!, k)
    else {
      first.fill(0)
      second.fill(0)
      for (let b = 0; b < samples; b++)
        for (let a = 0; a < samples; a++) add(inkAt(x + (a + 0.5) / samples, y + (b + 0.5) / samples))
      const each = print / (samples * samples)
      for (let k = 0; k < 3; k++) out[k] = each * (share ? first[k]! + share[i]! * (second[k]! - first[k]!) : first[k]!)
    }
    if (glares.length === 0) return
    let veil = 0
    for (const glare of glares) veil += glareAt(glare, u, v)
    for (let k = 0; k < 3; k++) out[k] = out[k]! + veil * mixed(share, i, white, k)
  }
}

/** From photo pixels to millimetres from the page's middle. */
function pageFromPhoto(on: Thing['on'], toBench: Matrix3): Matrix3 {
  const [c, s] = [Math.cos(on.turn), Math.sin(on.turn)]
  return multiply3([c, s, -c * on.xMm - s * on.yMm, -s, c, s * on.xMm - c * on.yMm, 0, 0, 1], toBench)
}
