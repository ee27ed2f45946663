import { encodeJpeg } from '../../../electron/photos/encode.ts'
import { dyes, grounds } from '../../../electron/service/demonstration/palette.ts'
import { benchToPhoto, photoToBench, quadOf } from '../../../electron/service/demonstration/picture/geometry.ts'
import { toneSteps, toneTable } from '../../../electron/service/demonstration/picture/paint.ts'
import type { PhotoPlan } from '../../../electron/service/demonstration/picture/plan.ts'
import { renderPhoto } from '../../../electron/service/demonstration/picture/render-photo.ts'
import { chartColours } from '../../../shared-core/capture/camera/chart.ts'
import { lightOf } from '../../../shared-core/capture/camera/fit.ts'
import { apply3 } from '../../../shared-core/colour/matrix.ts'
import { srgbProfile } from '../../../shared-core/colour/profile.ts'
import { filmAbsorbance } from '../../../shared-core/film/forward.ts'
import type { Layout } from '../../../shared-core/records/area.ts'
import type { Marked } from './marked.ts'

const pixelsPerMm = 12.2
const chartOn = { xMm: 78, yMm: 80, turn: -0.02, widthMm: 96, heightMm: 64 }
/** Share of a patch's side that is its colour; the rest is the chart's frame. */
const fill = 0.86
const frame = 0.03

const plan: PhotoPlan = {
  seed: 'intake',
  width: 4000,
  height: 3000,
  view: 'face',
  bench: 'mat',
  panel: {
    widthMm: 100,
    heightMm: 200,
    steps: [1, 3].map((load) => ({
      ground: grounds.silver,
      absorbance: filmAbsorbance([{ absorbance: dyes.Halyard, load }]),
      over: null,
    })),
    ends: [0.5, 1],
    grain: grounds.silver.grain,
    sparkle: 0,
    lobe: grounds.silver.lobe,
    gloss: 1,
    hole: true,
    xMm: -54,
    yMm: 0,
    turn: 0.02,
  },
  card: { xMm: 74, yMm: -40, turn: -0.03, widthMm: 62, heightMm: 90 },
  tag: null,
  lamp: { illuminant: 'D50', level: 0.85, gradient: [-0.02, -0.03], from: -2.2, glare: 0.6 },
  camera: {
    space: 'sRGB',
    cast: [1.03, 1, 0.96],
    curve: 0.03,
    noise: 1.4,
    vignette: 0.1,
    pitch: 0.06,
    yaw: -0.02,
    roll: 0.012,
    pixelsPerMm,
  },
}

/** The same bench with another panel, as large as asked for. */
export function planOf(seed: string, which: number, width: number, height: number): PhotoPlan {
  const names = Object.values(dyes)
  const dye = names[which % names.length]!
  const steps = plan.panel.steps.map((step, i) => ({
    ...step,
    absorbance: filmAbsorbance([{ absorbance: dye, load: 1 + 2 * i }]),
  }))
  return { ...plan, seed, width, height, panel: { ...plan.panel, steps } }
}

/** A panel in two steps, card and chart on a bench, as a phone's JPEG of 12 megapixels. */
export async function renderedPhoto(): Promise<Marked & { jpeg: Buffer }> {
  const { pixels, width, height, areas, card } = renderPhoto(plan)
  drawChart(pixels)
  const jpeg = await encodeJpeg({
    pixels,
    width,
    height,
    space: plan.camera.space,
    quality: 92,
    onItsSide: false,
    exif: { camera: 'Rendered', takenAt: new Date('2026-05-14T10:20:30Z'), exposureS: 1 / 60, fNumber: 1.8, iso: 100 },
  })
  const plain: Layout = {
    areas: areas.map((quad) => ({ stepId: null, shape: { kind: 'quad', quad } })),
    card: card && { quad: card, lab: { l: 50, a: 0, b: 0 } },
    mmPerPixel: 1 / pixelsPerMm,
  }
  const quad = quadOf(benchToPhoto(plan.camera, width, height), chartOn)
  return { jpeg, plain, chart: { ...plain, chart: { quad, table: 'avg30' } } }
}

/** Lays the chart into the picture, by the same lamp, lens and tone curve; what the sensor's noise was there stays on it. */
function drawChart(pixels: Uint8Array): void {
  const { width, height, camera, lamp } = plan
  const inverse = photoToBench(camera, width, height)
  const tone = toneTable(camera.curve)
  const patches = chartColours('avg30').map((lab) => lightOf(lab, srgbProfile))
  const [c, s] = [Math.cos(chartOn.turn), Math.sin(chartOn.turn)]
  const reach = width * width + height * height
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const [px, py, w] = apply3(inverse, [x + 0.5, y + 0.5, 1])
      const [xMm, yMm] = [px / w, py / w]
      const [dx, dy] = [xMm - chartOn.xMm, yMm - chartOn.yMm]
      const column = ((c * dx + s * dy) / chartOn.widthMm + 0.5) * 6
      const row = ((c * dy - s * dx) / chartOn.heightMm + 0.5) * 4
      if (!(column >= 0 && column < 6 && row >= 0 && row < 4)) continue
      const inside = Math.max(Math.abs((column % 1) - 0.5), Math.abs((row % 1) - 0.5)) < fill / 2
      const patch = patches[Math.floor(row) * 6 + Math.floor(column)]!
      const light = lamp.level * (1 + (lamp.gradient[0] * xMm + lamp.gradient[1] * yMm) / 100)
      const lens = 1 - (camera.vignette * ((2 * x - width) ** 2 + (2 * y - height) ** 2)) / reach
      for (let k = 0; k < 3; k++) {
        const linear = Math.min(1, Math.max(0, (inside ? patch[k]! : frame) * light * lens * camera.cast[k]!))
        const at = (y * width + x) * 3 + k
        // the bench's own last bits stand in for noise: they are as good as random
        const noise = (pixels[at]! & 3) - 1.5
        pixels[at] = Math.min(
          255,
          Math.max(0, (tone[Math.round(Math.sqrt(linear) * (toneSteps - 1))] ?? 0) + noise + 0.5),
        )
      }
    }
  }
}
