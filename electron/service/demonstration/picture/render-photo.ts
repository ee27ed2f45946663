import type { Lab } from '../../../../shared-core/colour/lab.ts'
import type { Quad } from '../../../../shared-core/records/area.ts'
import { cardReflectance } from '../palette.ts'
import { randomFrom } from '../random.ts'
import { benchToPhoto, photoToBench, quadOf, type Rectangle } from './geometry.ts'
import { distanceToLines, writtenLines } from './handwriting.ts'
import { coatingLab, developer, toneSteps, toneTable } from './paint.ts'
import type { PhotoPlan } from './plan.ts'
import { benchShader, distanceTo, panelShader } from './surfaces.ts'
import { textures, tileMask } from './textures.ts'

/** A picture, and what the renderer knows about it: upright pixels, as a layout has them. */
export type RenderedPhoto = {
  width: number
  height: number
  /** 8-bit RGB in the camera's space, row by row. */
  pixels: Uint8Array
  panel: Quad
  /** One area per step, inside its edges and clear of the hole. */
  areas: Quad[]
  card: Quad | null
  /** Lab (D50, 2°) of each step by the forward model, without lamp, camera or noise. */
  truth: Lab[]
}

const paperTag = { widthMm: 44, heightMm: 15 }
const hole = { radiusMm: 3, fromTopMm: 9 }

/** Draws one photo: bench, panel, card and tag under a lamp, through a lens, a sensor and a tone curve. */
export function renderPhoto(plan: PhotoPlan): RenderedPhoto {
  const { width, height, camera, panel, card } = plan
  const pixels = new Uint8Array(width * height * 3)
  const shade = sceneShader(plan)
  const tone = toneTable(camera.curve)
  const { sensor } = textures()
  const random = randomFrom(`${plan.seed}/sensor`)
  const offsets = [0, 1, 2].map(() => random.whole(0, tileMask * tileMask))
  const [o0, o1, o2] = [offsets[0] ?? 0, offsets[1] ?? 0, offsets[2] ?? 0]
  const out = new Float64Array(3)
  const size = sensor.length - 1
  const level = (linear: number, noise: number): number => {
    const light = linear <= 0 ? 0 : linear >= 1 ? 1 : linear
    const value = tone[(Math.sqrt(light) * (toneSteps - 1) + 0.5) | 0] ?? 0
    return value + noise * camera.noise * (1.3 - value / 320) + 0.5
  }
  const reach = width * width + height * height
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      shade(x + 0.5, y + 0.5, out)
      const fromMiddle = ((2 * x - width) ** 2 + (2 * y - height) ** 2) / reach
      const lens = 1 - camera.vignette * fromMiddle
      const at = y * width + x
      // Rows of the sensor tile do not repeat at the photo's width: 997 is no divisor of its side.
      const n = x + y * 997
      // Uint8ClampedArray rounds by itself, but sharp wants plain bytes: clamp here.
      const r = level((out[0] ?? 0) * lens, sensor[(n + o0) & size] ?? 0)
      const g = level((out[1] ?? 0) * lens, sensor[(n + o1) & size] ?? 0)
      const b = level((out[2] ?? 0) * lens, sensor[(n + o2) & size] ?? 0)
      pixels[3 * at] = r < 0 ? 0 : r > 255 ? 255 : r
      pixels[3 * at + 1] = g < 0 ? 0 : g > 255 ? 255 : g
      pixels[3 * at + 2] = b < 0 ? 0 : b > 255 ? 255 : b
    }
  }
  const matrix = benchToPhoto(camera, width, height)
  return {
    width,
    height,
    pixels,
    panel: quadOf(matrix, panel),
    areas: panel.ends.map((_, step) => quadOf(matrix, panel, stepPart(plan, step))),
    card: card && quadOf(matrix, card, { left: 0.08, top: 0.08, right: 0.92, bottom: 0.92 }),
    truth: panel.steps.map((step) => coatingLab(step, panel.lobe, plan.view)),
  }
}

/** What of the panel shows one step: a little inside its edges, below the hole. */
function stepPart({ panel }: PhotoPlan, step: number): { left: number; top: number; right: number; bottom: number } {
  const from = step === 0 ? 0 : (panel.ends[step - 1] ?? 0)
  const to = panel.ends[step] ?? 1
  const inset = 0.1 * (to - from)
  const belowHole = panel.hole && step === 0 ? (hole.fromTopMm + hole.radiusMm + 2) / panel.heightMm : 0
  return { left: 0.07, top: Math.max(from + inset, belowHole), right: 0.93, bottom: to - inset }
}

const local = (r: Omit<Rectangle, 'widthMm' | 'heightMm'>) => ({
  c: Math.cos(r.turn),
  s: Math.sin(r.turn),
  x: r.xMm,
  y: r.yMm,
})

/** How dark a thing of some thickness makes the bench at a distance. */
const shadow = (d: number, dAway: number, depth: number): number => {
  const cast = dAway < -1.2 ? 1 : dAway > 1.6 ? 0 : (1.6 - dAway) / 2.8
  return (1 - 0.55 * depth * cast) * (1 - 0.3 * depth * Math.exp(-Math.max(0, d) / 2.5))
}

/** Linear RGB of the scene at a place of the photo. */
function sceneShader(plan: PhotoPlan): (x: number, y: number, out: Float64Array) => void {
  const { camera, lamp, panel, card, tag } = plan
  const inverse = photoToBench(camera, plan.width, plan.height)
  const develop = developer(lamp.illuminant, camera)
  const bench = benchShader(plan.bench, plan.seed, camera.pixelsPerMm)
  const paint = panelShader(plan, develop)
  const [white0, white1, white2] = develop(Array<number>(cardReflectance.length).fill(1))
  const cardLevel = cardReflectance[0] ?? 0
  const { grain } = textures()
  const [lampX, lampY] = [Math.cos(lamp.from), Math.sin(lamp.from)]
  const sharpness = camera.pixelsPerMm
  const lines = tag ? writtenLines(tag.text, 7.5) : new Float64Array(0)
  const [onPanel, onCard, onTag] = [local(panel), card && local(card), tag && local(tag)]
  const [halfW, halfH] = [panel.widthMm / 2, panel.heightMm / 2]
  const paintOut = new Float64Array(3)

  return (x, y, out) => {
    const w = inverse[6] * x + inverse[7] * y + inverse[8]
    const xMm = (inverse[0] * x + inverse[1] * y + inverse[2]) / w
    const yMm = (inverse[3] * x + inverse[4] * y + inverse[5]) / w
    const light = lamp.level * (1 + (lamp.gradient[0] * xMm + lamp.gradient[1] * yMm) / 100)
    const dx = xMm - onPanel.x
    const dy = yMm - onPanel.y
    const u = onPanel.c * dx + onPanel.s * dy
    const v = onPanel.c * dy - onPanel.s * dx
    const d = distanceTo(u, v, halfW, halfH, 2.5)
    const covered = d * sharpness < -0.5 ? 1 : d * sharpness > 0.5 ? 0 : 0.5 - d * sharpness
    let grey = 0
    if (covered < 1) {
      grey = bench(xMm, yMm, x, y)
      if (d < 14) grey *= shadow(d, distanceTo(u + 1.7 * lampX, v + 1.7 * lampY, halfW, halfH, 2.5), 1)
      if (onCard && card) {
        const cx = xMm - onCard.x
        const cy = yMm - onCard.y
        const cu = onCard.c * cx + onCard.s * cy
        const cv = onCard.c * cy - onCard.s * cx
        const dc = distanceTo(cu, cv, card.widthMm / 2, card.heightMm / 2, 1.5)
        if (dc < 10) {
          const on = dc * sharpness < -0.5 ? 1 : dc * sharpness > 0.5 ? 0 : 0.5 - dc * sharpness
          const below = shadow(
            dc,
            distanceTo(cu + 0.7 * lampX, cv + 0.7 * lampY, card.widthMm / 2, card.heightMm / 2, 1.5),
            0.6,
          )
          const own = cardLevel * (1 + 0.008 * (grain[((y & tileMask) << 9) | ((x + 77) & tileMask)] ?? 0))
          grey = grey * below * (1 - on) + own * on
        }
      }
      if (onTag) {
        const tx = xMm - onTag.x
        const ty = yMm - onTag.y
        const tu = onTag.c * tx + onTag.s * ty
        const tv = onTag.c * ty - onTag.s * tx
        const dt = distanceTo(tu, tv, paperTag.widthMm / 2, paperTag.heightMm / 2, 0.3)
        if (dt < 6) {
          const on = dt * sharpness < -0.5 ? 1 : dt * sharpness > 0.5 ? 0 : 0.5 - dt * sharpness
          const ink = on > 0 ? Math.min(1, Math.max(0, 0.5 + (0.55 - distanceToLines(lines, tu, tv)) * sharpness)) : 0
          const below = shadow(
            dt,
            distanceTo(tu + 0.4 * lampX, tv + 0.4 * lampY, paperTag.widthMm / 2, paperTag.heightMm / 2, 0.3),
            0.45,
          )
          grey = grey * below * (1 - on) + 0.78 * (1 - 0.95 * ink) * on
        }
      }
    }
    const beneath = grey * light * (1 - covered)
    out[0] = beneath * white0
    out[1] = beneath * white1
    out[2] = beneath * white2
    if (covered === 0) return
    paint(u, v, x, y, light, paintOut)
    // The bent edge of the sheet catches the lamp on one side and loses it on the other.
    if (d > -0.7) {
      const [ax, ay] = [Math.abs(u) - halfW, Math.abs(v) - halfH]
      const facing = ax > ay ? Math.sign(u) * lampX : Math.sign(v) * lampY
      const share = Math.min(1, (d + 0.7) / 0.5)
      const steel = 0.3 * (1 + 0.85 * facing) * light
      for (let k = 0; k < 3; k++) paintOut[k] = (paintOut[k] ?? 0) * (1 - 0.8 * share) + 0.8 * share * steel
    }
    if (panel.hole) {
      const dh = Math.hypot(u, v + halfH - hole.fromTopMm) - hole.radiusMm
      if (dh < 1.2) {
        const inside = Math.min(1, Math.max(0, 0.5 - dh * sharpness))
        const rim = dh > 0 ? 1 - 0.25 * (1 - dh / 1.2) : 1
        const dark = 0.018 * light
        for (let k = 0; k < 3; k++) paintOut[k] = (paintOut[k] ?? 0) * rim * (1 - inside) + dark * inside
      }
    }
    out[0] += (paintOut[0] ?? 0) * covered
    out[1] += (paintOut[1] ?? 0) * covered
    out[2] += (paintOut[2] ?? 0) * covered
  }
}
