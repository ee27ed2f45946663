import type { Vector3 } from '../../../../shared-core/colour/matrix.ts'
import type { Spectrum } from '../../../../shared-core/colour/spectrum.ts'
import { randomFrom } from '../random.ts'
import { thicknessSteps, thicknessTable, thinnest } from './paint.ts'
import type { Bench, Lamp, PhotoPlan } from './plan.ts'
import { textures, tileMask, tileSide } from './textures.ts'

/** Looks into a tile at a place in millimetres, `perMm` texels each. */
const into = (tile: Float32Array, x: number, y: number): number => tile[((y & tileMask) << 9) | (x & tileMask)] ?? 0
if (tileSide !== 512) throw new Error('The tiles are read with a shift of nine bits.')

/** Signed distance to a rectangle with rounded corners: below 0 inside. */
export function distanceTo(u: number, v: number, halfWidth: number, halfHeight: number, corner: number): number {
  const qx = Math.abs(u) - halfWidth + corner
  const qy = Math.abs(v) - halfHeight + corner
  const outside = qx > 0 && qy > 0 ? Math.sqrt(qx * qx + qy * qy) : Math.max(qx, qy)
  return outside - corner
}

/** Reflectance of the bench at a place (millimetres) and pixel. */
export type GreyShader = (xMm: number, yMm: number, x: number, y: number) => number

export function benchShader(bench: Bench, seed: string, pixelsPerMm: number): GreyShader {
  const random = randomFrom(`${seed}/bench`)
  const [ox, oy] = [random.whole(0, tileMask), random.whole(0, tileMask)]
  const { grain, mottle, peel, brushed } = textures()
  const mat: GreyShader = (xMm, yMm, x, y) =>
    0.085 *
    (1 +
      0.16 * into(grain, x + ox, y + oy) +
      0.1 * into(peel, xMm * 5 + ox, yMm * 5) +
      0.05 * into(mottle, xMm * 2, yMm * 2 + oy))
  const paper: GreyShader = (xMm, yMm, x, y) =>
    0.8 * (1 + 0.006 * into(grain, x + oy, y + ox) + 0.008 * into(mottle, xMm * 2 + ox, yMm * 2 + oy))
  if (bench === 'mat') return mat
  if (bench === 'paper') return paper
  if (bench === 'board')
    return (xMm, yMm, x, y) => {
      const worn = into(peel, xMm * 3 + ox, yMm * 3 + oy)
      return (
        0.33 *
        (1 +
          0.02 * into(grain, x + ox, y) +
          0.035 * into(mottle, xMm * 2, yMm * 2) -
          (worn > 2.3 ? 0.12 * (worn - 2.3) : 0))
      )
    }
  if (bench === 'steel')
    return (xMm, yMm, x, y) =>
      0.4 *
      (1 +
        0.07 * into(brushed, xMm * 4 + ox, yMm * 9 + oy) +
        0.02 * into(grain, x, y + oy) +
        0.05 * into(mottle, xMm * 2 + ox, yMm * 2))
  const turn = random.between(-0.06, 0.06)
  const [dx, dy] = [random.between(-6, 6), random.between(-6, 6)]
  // A sheet of A4 on the rubber mat.
  return (xMm, yMm, x, y) => {
    const d = distanceTo(xMm + turn * yMm - dx, yMm - turn * xMm - dy, 148.5, 105, 0.5)
    const off = Math.min(1, Math.max(0, 0.5 + d * pixelsPerMm))
    if (off === 0) return paper(xMm, yMm, x, y)
    const beside = mat(xMm, yMm, x, y) * (1 - 0.35 * Math.exp(-Math.max(0, d) / 1.5))
    return off === 1 ? beside : beside * off + paper(xMm, yMm, x, y) * (1 - off)
  }
}

/** Writes linear RGB of the panel's face at a place of its own (millimetres from its middle) into `out`. */
export type PanelShader = (u: number, v: number, x: number, y: number, light: number, out: Float64Array) => void

export function panelShader(plan: PhotoPlan, develop: (reflectance: Spectrum) => Vector3): PanelShader {
  const { panel, lamp, view } = plan
  const random = randomFrom(`${plan.seed}/panel`)
  const tables = panel.steps.map((step) => thicknessTable(step, panel.lobe, view, develop))
  const none = new Float32Array(3 * thicknessSteps)
  const endsMm = panel.ends.map((end) => end * panel.heightMm)
  const [gx, gy, mx, my] = [0, 0, 0, 0].map(() => random.whole(0, tileMask)) as [number, number, number, number]
  const [phase, pass, unevenness] = [random.between(0, 6.28), random.between(15, 24), random.between(0.012, 0.03)]
  const tape = panel.ends.map(() => random.between(-0.8, 0.8))
  const { grain, sparkle, mottle, peel } = textures()
  const glare = glareShader(lamp, panel)
  const flakeSize = view === 'near-glare' ? 1.25 : 1
  const [lampX, lampY] = [Math.cos(lamp.from), Math.sin(lamp.from)]
  const last = endsMm.length - 1
  const perStep = (thicknessSteps - 1) / (2 - 2 * thinnest)
  const sharpness = plan.camera.pixelsPerMm
  const row = (film: number): number => {
    const place = ((film - thinnest) * perStep + 0.5) | 0
    return 3 * (place < 0 ? 0 : place >= thicknessSteps ? thicknessSteps - 1 : place)
  }
  return (u, v, x, y, light, out) => {
    const ripple = into(peel, u * 4 + mx, v * 4 + my)
    const down = v + panel.heightMm / 2 - 0.05 * ripple
    let step = 0
    while (step < last && down > (endsMm[step] ?? 0) + (tape[step] ?? 0) * 0.006 * u) step++
    const beyond = step > 0 ? down - (endsMm[step - 1] ?? 0) - (tape[step - 1] ?? 0) * 0.006 * u : 99
    const before = step < last ? (endsMm[step] ?? 0) + (tape[step] ?? 0) * 0.006 * u - down : 99
    // The tape leaves a ridge on the side that got more paint.
    const ridge = beyond < 0.7 ? 0.1 * (1 - beyond / 0.7) : 0
    const even =
      1 + unevenness * into(mottle, u * 2.2 + mx, v * 2.2 + my) + 0.009 * Math.cos((6.28 * down) / pass + phase)
    const table = tables[step] ?? none
    const i = row(even + ridge)
    let r = table[i] ?? 0
    let g = table[i + 1] ?? 0
    let b = table[i + 2] ?? 0
    const nearest = beyond < before ? beyond : before
    if (nearest * sharpness < 0.5) {
      const other = tables[beyond < before ? step - 1 : step + 1] ?? table
      const share = 0.5 - nearest * sharpness
      const j = row(even)
      r += share * ((other[j] ?? 0) - r)
      g += share * ((other[j + 1] ?? 0) - g)
      b += share * ((other[j + 2] ?? 0) - b)
    }
    const towards = (u * lampX + v * lampY) / 100
    const lobe = 1 + panel.lobe * (0.1 * towards + 0.03 * (towards * towards - 0.25))
    let flake = 1 + panel.grain * flakeSize * into(grain, x + gx, y + gy)
    if (flake < 0.25) flake = 0.25
    const lit = light * lobe * flake
    const glint = panel.sparkle > 0 ? panel.sparkle * 0.035 * (into(sparkle, x + my, y + mx) - 1) * light : 0
    const veil = (ridge > 0.05 ? 0.012 * panel.gloss : 0) * light + glare(u, v, ripple) * light + glint
    out[0] = r * lit + veil
    out[1] = g * lit + veil
    out[2] = b * lit + veil
  }
}

/** How many times broader than in gloss a lamp's image lies in quite dull paint, each way: 1 + this. */
const dullSpread = 9

/**
 * The room in the clear: a breath of light everywhere, and the lamp itself crossing one corner where `lamp.glare` says.
 * Dull paint mirrors no more than gloss does: the same light lies over as much more of it, so no lamp can be seen in it.
 */
function glareShader(lamp: Lamp, panel: PhotoPlan['panel']): (u: number, v: number, ripple: number) => number {
  const angle = lamp.from + 0.25
  const [c, s] = [Math.cos(angle), Math.sin(angle)]
  const corner = (panel.widthMm / 2) * Math.abs(c) + (panel.heightMm / 2) * Math.abs(s)
  const spread = 1 + dullSpread * (1 - panel.gloss)
  const width = 3 * spread
  const edge = 0.5 * spread
  const strength = lamp.glare / spread ** 2
  const room = 0.0016 * panel.gloss
  return (u, v, ripple) => {
    const p = u * c + v * s
    const near = p / corner < 0.25 ? 0 : (p / corner - 0.25) / 0.75
    const haze = room * (1 + p / corner + 9 * near * near)
    if (strength === 0) return haze
    const d = Math.abs(p - corner * 0.8 + 0.32 * ripple)
    const core = d < width + 8 * edge ? 1 / (1 + Math.exp((d - width) / edge)) : 0
    return haze + strength * (core + 0.05 * Math.exp(-((d / (20 * spread)) ** 2)))
  }
}
