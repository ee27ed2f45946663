import type { Rectangle } from '../../../../../electron/service/demonstration/picture/geometry.ts'
import { textures, tileMask } from '../../../../../electron/service/demonstration/picture/textures.ts'
import { randomFrom } from '../../../../../electron/service/demonstration/random.ts'
import { apply3, type Vector3 } from '../../../../../shared-core/colour/matrix.ts'
import { glareAt } from '../fields.ts'
import type { Canvas } from '../render.ts'
import type { Shot, Thing } from '../shot.ts'
import { clutterShader } from './clutter-shader.ts'
import { pageShader } from './page-shader.ts'
import { stripsShader } from './strips-shader.ts'

/**
 * Writes balanced raw of a place on a thing (its own millimetres) for light 1; `i` is the pixel.
 * @returns  for a thing that does not fill its rectangle: millimetres from its border, 0 where it is not
 */
export type Shader = (u: number, v: number, i: number, x: number, y: number, out: Float64Array) => number | void

export function paintOnThing(canvas: Canvas, thing: Thing): void {
  if (thing.what === 'chart') {
    const frame: Rectangle = {
      ...thing.on,
      widthMm: thing.on.widthMm + 2 * thing.frameMm,
      heightMm: thing.on.heightMm + 2 * thing.frameMm,
    }
    draw(canvas, frame, chartShader(canvas, thing))
  } else if (thing.what === 'flat') draw(canvas, thing.on, flatShader(canvas, thing))
  else if (thing.what === 'page') draw(canvas, thing.on, pageShader(canvas, thing))
  else if (thing.what === 'clutter') draw(canvas, thing.on, clutterShader(canvas, thing))
  else if (thing.what === 'cast') throwShadow(canvas, thing)
  else draw(canvas, thing.on, panelShader(canvas, thing))
}

/** Every pixel that a rectangle of the bench covers, its edge softened over one pixel. */
function draw(canvas: Canvas, on: Rectangle, shade: Shader): void {
  const { raw, light } = canvas
  const { pixelsPerMm } = canvas.shot
  const out = new Float64Array(3)
  eachPixel(canvas.shot, on, 0, (u, v, i, x, y, insideMm) => {
    const own = shade(u, v, i, x, y, out)
    const inside = Math.min(insideMm, own ?? insideMm) * pixelsPerMm + 0.5
    if (inside <= 0 || own === 0) return
    const covered = inside >= 1 ? 1 : inside
    const level = light[i]!
    for (let k = 0; k < 3; k++) raw[3 * i + k]! += covered * (level * out[k]! - raw[3 * i + k]!)
  })
}

const deepestCast = 12

/** A soft shadow: full over the rectangle, gone at `softMm` beyond it. */
function throwShadow({ shot, raw }: Canvas, { on, depth, softMm }: Extract<Thing, { what: 'cast' }>): void {
  eachPixel(shot, on, softMm, (_u, _v, i, _x, _y, insideMm) => {
    // Further in lies the thing itself.
    if (insideMm > deepestCast) return
    const dark = depth * Math.min(1, Math.max(0, 1 + insideMm / softMm))
    for (let k = 0; k < 3; k++) raw[3 * i + k]! *= 1 - dark
  })
}

type Visit = (u: number, v: number, i: number, x: number, y: number, insideMm: number) => void

/** Pixels over a rectangle and `reachMm` around it, with their places on it and how far inside they lie. */
function eachPixel(shot: Shot, on: Rectangle, reachMm: number, visit: Visit): void {
  const { width, height, toPhoto, toBench, pixelsPerMm } = shot
  const [c, s] = [Math.cos(on.turn), Math.sin(on.turn)]
  const [hw, hh] = [on.widthMm / 2, on.heightMm / 2]
  const corners = [-1, 1].flatMap((a) =>
    [-1, 1].map((b) => {
      const [u, v] = [a * (hw + reachMm), b * (hh + reachMm)]
      const [x, y, w] = apply3(toPhoto, [on.xMm + c * u - s * v, on.yMm + s * u + c * v, 1])
      return [x / w, y / w] as const
    }),
  )
  const xs = corners.map(([x]) => x)
  const ys = corners.map(([, y]) => y)
  const edge = -reachMm - 0.5 / pixelsPerMm
  const [b0, b1, b2, b3, b4, b5, b6, b7, b8] = toBench
  const left = Math.max(0, Math.floor(Math.min(...xs)) - 1)
  const right = Math.min(width - 1, Math.max(...xs) + 1)
  const bottom = Math.min(height - 1, Math.max(...ys) + 1)
  for (let y = Math.max(0, Math.floor(Math.min(...ys)) - 1); y <= bottom; y++) {
    const py = y + 0.5
    for (let x = left; x <= right; x++) {
      const px = x + 0.5
      const w = b6 * px + b7 * py + b8
      const mx = (b0 * px + b1 * py + b2) / w - on.xMm
      const my = (b3 * px + b4 * py + b5) / w - on.yMm
      const u = c * mx + s * my
      const v = c * my - s * mx
      const across = hw - (u < 0 ? -u : u)
      const down = hh - (v < 0 ? -v : v)
      const inside = across < down ? across : down
      if (inside > edge) visit(u, v, y * width + x, x, y, inside)
    }
  }
}

export function mixed(share: Float32Array | null, i: number, both: readonly [Vector3, Vector3], k: number): number {
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
  const strips = thing.strips ? stripsShader(rawIn, share, thing.strips) : null
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
    if (strips) strips(u, v, i, x, y, out)
    else for (let k = 0; k < 3; k++) out[k] = mixed(share, i, own, k)
    for (let k = 0; k < 3; k++) out[k] = out[k]! * lobe * flake + veil * mixed(share, i, white, k)
  }
}
