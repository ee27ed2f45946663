import { textures, tileMask } from '../../../../electron/service/demonstration/picture/textures.ts'
import { randomFrom } from '../../../../electron/service/demonstration/random.ts'
import { apply3, type Vector3 } from '../../../../shared-core/colour/matrix.ts'
import { rawOf } from '../spectra/camera.ts'
import type { Values } from '../spectra/data.ts'
import { develop } from './develop.ts'
import { lightAt, shadowAt } from './fields.ts'
import { bentByLens } from './lens.ts'
import type { Shot } from './shot.ts'
import { paintOnThing } from './things/render-things.ts'

/** Balanced raw light, three values a pixel, and how light falls: what things are drawn into. */
export type Canvas = {
  shot: Shot
  /** Red, green, blue. */
  raw: Float32Array
  /** Light of both lamps with vignette and shadows. */
  light: Float32Array
  /** Share of the second light. */
  share: Float32Array | null
  /** What a surface gives each channel, one triple per light, a perfect white under the first being about 1. */
  rawIn: (reflectance: Values | null) => readonly [Vector3, Vector3]
}

/** Draws a photo: bench, things, dust under the light; lens, sensor and camera follow in `develop`. */
export function renderShot(shot: Shot): Uint8Array {
  const canvas = emptyCanvas(shot)
  paintBench(canvas)
  for (const thing of shot.things) paintOnThing(canvas, thing)
  paintSpecks(canvas)
  return develop(shot, bentByLens(canvas.raw, shot, shot.lensBends ?? 0))
}

function emptyCanvas(shot: Shot): Canvas {
  const { width, height, toBench, field, second, vignette, exposure, shadows, camera, white } = shot
  const light = new Float32Array(width * height)
  const share = second ? new Float32Array(width * height) : null
  const reach = width * width + height * height
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const px = x + 0.5
      const py = y + 0.5
      const w = toBench[6] * px + toBench[7] * py + toBench[8]
      const mx = (toBench[0] * px + toBench[1] * py + toBench[2]) / w
      const my = (toBench[3] * px + toBench[4] * py + toBench[5]) / w
      const fromMiddle = ((2 * px - width) ** 2 + (2 * py - height) ** 2) / reach
      const first = lightAt(field, mx, my)
      const other = second ? second.strength * lightAt(second.field, mx, my) : 0
      let level = (exposure * (first + other) * (1 - vignette * fromMiddle)) / (1 + (second?.strength ?? 0))
      for (const shadow of shadows) level *= 1 - shadowAt(shadow, mx, my)
      light[y * width + x] = level
      if (share) share[y * width + x] = other / (first + other)
    }
  }
  const lights = [shot.light, second?.light ?? shot.light]
  const rawIn = (reflectance: Values | null) => {
    const [first, other] = lights.map((one) => {
      const raw = rawOf(camera.sensor, one, reflectance)
      return [raw[0] / white[0], raw[1] / white[1], raw[2] / white[2]] as Vector3
    })
    return [first!, other!] as const
  }
  return { shot, raw: new Float32Array(3 * width * height), light, share, rawIn }
}

function paintBench({ shot, raw, light, share, rawIn }: Canvas): void {
  const [first, second] = rawIn(shot.bench)
  const { grain, mottle } = textures()
  const random = randomFrom(`${shot.seed}/bench`)
  const [ox, oy] = [random.whole(0, tileMask), random.whole(0, tileMask)]
  const { width, height, benchGrain } = shot
  for (let y = 0, i = 0; y < height; y++) {
    for (let x = 0; x < width; x++, i++) {
      const texel = grain[(((y + oy) & tileMask) << 9) | ((x + ox) & tileMask)]!
      const patch = mottle[((((y >> 1) + ox) & tileMask) << 9) | (((x >> 1) + oy) & tileMask)]!
      const level = light[i]! * Math.max(0.1, 1 + benchGrain * (texel + 0.25 * patch))
      const s = share ? share[i]! : 0
      raw[3 * i] = level * (first[0] + s * (second[0] - first[0]))
      raw[3 * i + 1] = level * (first[1] + s * (second[1] - first[1]))
      raw[3 * i + 2] = level * (first[2] + s * (second[2] - first[2]))
    }
  }
}

function paintSpecks({ shot, raw, light }: Canvas): void {
  const { width, height, toPhoto, pixelsPerMm } = shot
  for (const speck of shot.specks) {
    const [x, y, w] = apply3(toPhoto, [speck.x, speck.y, 1])
    const [cx, cy, radius] = [x / w, y / w, speck.radius * pixelsPerMm]
    const reach = Math.ceil(radius + 1)
    for (let py = Math.max(0, Math.floor(cy - reach)); py <= Math.min(height - 1, cy + reach); py++) {
      for (let px = Math.max(0, Math.floor(cx - reach)); px <= Math.min(width - 1, cx + reach); px++) {
        const covered =
          speck.opacity * Math.min(1, Math.max(0, radius + 0.5 - Math.hypot(px + 0.5 - cx, py + 0.5 - cy)))
        const i = py * width + px
        const own = speck.reflectance * light[i]!
        for (let c = 0; c < 3; c++) raw[3 * i + c]! += covered * (own - raw[3 * i + c]!)
      }
    }
  }
}
