import type { Rectangle } from '../../../../electron/service/demonstration/picture/geometry.ts'
import { textures, tileMask } from '../../../../electron/service/demonstration/picture/textures.ts'
import { randomFrom } from '../../../../electron/service/demonstration/random.ts'
import { apply3, type Vector3 } from '../../../../shared-core/colour/matrix.ts'
import { glareAt } from './fields.ts'
import type { Canvas } from './render.ts'
import type { Thing } from './shot.ts'

/** Writes balanced raw of a place on a thing (its own millimetres) for light 1; `i` is the pixel. */
type Shader = (u: number, v: number, i: number, x: number, y: number, out: Float64Array) => void

export function paintOnThing(canvas: Canvas, thing: Thing): void {
  if (thing.what === 'chart') {
    const frame: Rectangle = {
      ...thing.on,
      widthMm: thing.on.widthMm + 2 * thing.frameMm,
      heightMm: thing.on.heightMm + 2 * thing.frameMm,
    }
    draw(canvas, frame, chartShader(canvas, thing))
  } else if (thing.what === 'flat') draw(canvas, thing.on, flatShader(canvas, thing))
  else draw(canvas, thing.on, panelShader(canvas, thing))
}

/** Every pixel that a rectangle of the bench covers, its edge softened over one pixel. */
function draw({ shot, raw, light }: Canvas, on: Rectangle, shade: Shader): void {
  const { width, height, toPhoto, toBench, pixelsPerMm } = shot
  const [c, s] = [Math.cos(on.turn), Math.sin(on.turn)]
  const [hw, hh] = [on.widthMm / 2, on.heightMm / 2]
  const corners = [-1, 1].flatMap((a) =>
    [-1, 1].map((b) => {
      const [x, y, w] = apply3(toPhoto, [on.xMm + c * a * hw - s * b * hh, on.yMm + s * a * hw + c * b * hh, 1])
      return [x / w, y / w] as const
    }),
  )
  const xs = corners.map(([x]) => x)
  const ys = corners.map(([, y]) => y)
  const out = new Float64Array(3)
  for (let y = Math.max(0, Math.floor(Math.min(...ys)) - 1); y <= Math.min(height - 1, Math.max(...ys) + 1); y++) {
    for (let x = Math.max(0, Math.floor(Math.min(...xs)) - 1); x <= Math.min(width - 1, Math.max(...xs) + 1); x++) {
      const [px, py] = [x + 0.5, y + 0.5]
      const w = toBench[6] * px + toBench[7] * py + toBench[8]
      const mx = (toBench[0] * px + toBench[1] * py + toBench[2]) / w - on.xMm
      const my = (toBench[3] * px + toBench[4] * py + toBench[5]) / w - on.yMm
      const u = c * mx + s * my
      const v = c * my - s * mx
      const inside = Math.min(hw - Math.abs(u), hh - Math.abs(v)) * pixelsPerMm + 0.5
      if (inside <= 0) continue
      const i = y * width + x
      shade(u, v, i, x, y, out)
      const covered = inside >= 1 ? 1 : inside
      const level = light[i]!
      for (let k = 0; k < 3; k++) raw[3 * i + k]! += covered * (level * out[k]! - raw[3 * i + k]!)
    }
  }
}

function mixed(share: Float32Array | null, i: number, both: readonly [Vector3, Vector3], k: number): number {
  const first = both[0][k]!
  return share ? first + share[i]! * (both[1][k]! - first) : first
}

function flatShader({ rawIn, share }: Canvas, thing: Extract<Thing, { what: 'flat' }>): Shader {
  const own = rawIn(thing.reflectance)
  const white = rawIn(null)
  return (u, v, i, _x, _y, out) => {
    const veil = thing.sheen * (1 + u / thing.on.widthMm + v / thing.on.heightMm)
    for (let k = 0; k < 3; k++) out[k] = mixed(share, i, own, k) + veil * mixed(share, i, white, k)
  }
}

function chartShader({ rawIn, share }: Canvas, thing: Extract<Thing, { what: 'chart' }>): Shader {
  const patches = thing.patches.map(rawIn)
  const frame = rawIn(thing.frame)
  const [cellW, cellH] = [thing.on.widthMm / 6, thing.on.heightMm / 4]
  return (u, v, i, _x, _y, out) => {
    const [column, row] = [u / cellW + 3, v / cellH + 2]
    const [inColumn, inRow] = [Math.floor(column), Math.floor(row)]
    const onPatch =
      inColumn >= 0 &&
      inColumn < 6 &&
      inRow >= 0 &&
      inRow < 4 &&
      Math.abs(column - inColumn - 0.5) < thing.fill / 2 &&
      Math.abs(row - inRow - 0.5) < thing.fill / 2
    const both = onPatch ? patches[6 * inRow + inColumn]! : frame
    for (let k = 0; k < 3; k++) out[k] = mixed(share, i, both, k)
  }
}

function panelShader({ shot, rawIn, share }: Canvas, thing: Extract<Thing, { what: 'panel' }>): Shader {
  const { paint, glares, haze } = thing
  const own = rawIn(paint.reflectance)
  const white = rawIn(null)
  const random = randomFrom(`${shot.seed}/${thing.on.xMm}`)
  const [ox, oy] = [random.whole(0, tileMask), random.whole(0, tileMask)]
  const { grain, sparkle, mottle } = textures()
  const { lamp } = shot.field
  const toLamp = Math.atan2(lamp.at[1] - thing.on.yMm, lamp.at[0] - thing.on.xMm) - thing.on.turn
  const [lampX, lampY] = [Math.cos(toLamp), Math.sin(toLamp)]
  const unevenness = random.between(0, 0.012)
  return (u, v, i, x, y, out) => {
    const at = (((y + oy) & tileMask) << 9) | ((x + ox) & tileMask)
    const cloud = mottle[((Math.round(v * 2 + oy) & tileMask) << 9) | (Math.round(u * 2 + ox) & tileMask)]!
    const lobe = 1 + (paint.lobe * (u * lampX + v * lampY)) / 100
    const flake = Math.max(
      0.1,
      1 + paint.grain * grain[at]! + unevenness * cloud + 0.06 * paint.sparkle * (sparkle[at]! - 1),
    )
    let veil = haze
    for (const glare of glares) veil += glareAt(glare, u, v)
    for (let k = 0; k < 3; k++) out[k] = mixed(share, i, own, k) * lobe * flake + veil * mixed(share, i, white, k)
  }
}
