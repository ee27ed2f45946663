import Color from 'colorjs.io'
import type { Pixels } from '../../shared-core/capture/pixels.ts'
import type { Layout, Quad, Shape } from '../../shared-core/records/area.ts'

export type LabTriple = [l: number, a: number, b: number]

/** Linear sRGB of a colour given as Lab D50, by colorjs.io. */
export const linearOf = (lab: LabTriple) => new Color('lab', lab).to('srgb-linear').coords as LabTriple

export const rect = (x0: number, y0: number, x1: number, y1: number): Quad => [
  [x0, y0],
  [x1, y0],
  [x1, y1],
  [x0, y1],
]

export const panelQuad = rect(20, 20, 140, 140)
export const cardQuad = rect(160, 40, 220, 120)
export const cardLab: LabTriple = [50, 0, 0]

export type Scene = {
  panel: LabTriple
  /** Relative light in linear sRGB; exposure and colour of it. */
  light?: LabTriple
  /** Changes linear light at a place. */
  change?: (linear: LabTriple, x: number, y: number) => LabTriple
  bits?: 8 | 16
}

/** A sheet with a panel and a grey card: 240 × 160, sRGB numbers, a little fixed grain so that edges and noise exist. */
export function sceneOf({ panel, light = [0.6, 0.5, 0.4], change = (v) => v, bits = 16 }: Scene): Pixels {
  const [width, height] = [240, 160]
  const full = bits === 16 ? 65535 : 255
  const numbers = bits === 16 ? new Uint16Array(width * height * 3) : new Uint8Array(width * height * 3)
  const paints = { panel: linearOf(panel), card: linearOf(cardLab), sheet: linearOf([70, 2, 4]) }
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const inside = (quad: Quad) => x >= quad[0][0] && x < quad[2][0] && y >= quad[0][1] && y < quad[2][1]
      const paint = inside(panelQuad) ? paints.panel : inside(cardQuad) ? paints.card : paints.sheet
      const seen = change([paint[0] * light[0], paint[1] * light[1], paint[2] * light[2]], x, y)
      for (let c = 0; c < 3; c++) {
        const v = Math.min(1, Math.max(0, seen[c]!))
        const encoded = v <= 0.0031308 ? v * 12.92 : 1.055 * v ** (1 / 2.4) - 0.055
        numbers[(y * width + x) * 3 + c] = Math.round(encoded * full)
      }
    }
  }
  return { width, height, channels: 3, bits, data: numbers }
}

export const layoutOf = (shape: Shape = { kind: 'quad', quad: panelQuad }, withCard = true): Layout => ({
  areas: [{ stepId: null, shape }],
  card: withCard ? { quad: cardQuad, lab: { l: cardLab[0], a: cardLab[1], b: cardLab[2] } } : null,
})
