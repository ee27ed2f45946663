import { writeFile } from 'node:fs/promises'
import { encodeJpeg } from '../../electron/photos/encode.ts'
import { type DyeName, dyes, type GroundName, grounds } from '../../electron/service/demonstration/palette.ts'
import type { PhotoPlan } from '../../electron/service/demonstration/picture/plan.ts'
import { renderPhoto } from '../../electron/service/demonstration/picture/render-photo.ts'
import type { Lab } from '../../shared-core/colour/lab.ts'
import { filmAbsorbance } from '../../shared-core/film/forward.ts'
import type { Quad } from '../../shared-core/records/area.ts'

export type TestPhotoOptions = {
  seed?: string
  ground?: GroundName
  dye?: DyeName
  /** Coats of each step, from the top down. */
  coats?: readonly number[]
  space?: 'sRGB' | 'Display P3'
  /** Stored on its side with EXIF orientation 6. */
  onItsSide?: boolean
  /** `even`: no cast, no tone curve, no noise, no glare, even light. `phone`: all of them. */
  camera?: 'even' | 'phone'
  card?: boolean
  /** Written on a slip of paper beside the panel. */
  code?: string | null
}

/** What was drawn: upright pixels, and the Lab (D50, 2°) that the forward model gives each step. */
export type TestPhoto = { width: number; height: number; panel: Quad; areas: Quad[]; card: Quad | null; truth: Lab[] }

/** Makes one JPEG of a panel in steps beside a grey card (L* 50, neutral), 1200 × 900. */
export async function renderTestPhoto(file: string, options: TestPhotoOptions = {}): Promise<TestPhoto> {
  const { seed = 'test photo', dye = 'Halyard', coats = [1, 2, 4], space = 'sRGB', camera = 'phone' } = options
  const ground = grounds[options.ground ?? 'silver']
  const real = camera === 'phone'
  const plan: PhotoPlan = {
    seed,
    width: 1200,
    height: 900,
    view: 'face',
    bench: 'mat',
    panel: {
      widthMm: 100,
      heightMm: 200,
      steps: coats.map((load) => ({
        ground,
        absorbance: filmAbsorbance([{ absorbance: dyes[dye], load }]),
        over: null,
      })),
      ends: coats.map((_, i) => (i + 1) / coats.length),
      grain: ground.grain,
      sparkle: 0,
      lobe: real ? ground.lobe : 0,
      gloss: 1,
      hole: true,
      xMm: -54,
      yMm: 0,
      turn: 0.02,
    },
    card: options.card === false ? null : { xMm: 74, yMm: -14, turn: -0.03, widthMm: 62, heightMm: 90 },
    tag: options.code ? { text: options.code, xMm: 76, yMm: 62, turn: 0.06 } : null,
    lamp: {
      illuminant: 'D50',
      level: 0.85,
      gradient: real ? [-0.02, -0.03] : [0, 0],
      from: -2.2,
      glare: real ? 0.6 : 0,
    },
    camera: {
      space,
      cast: real ? [1.03, 1, 0.96] : [1, 1, 1],
      curve: real ? 0.03 : 0,
      noise: real ? 1.4 : 0,
      vignette: real ? 0.1 : 0,
      pitch: 0.06,
      yaw: -0.02,
      roll: 0.012,
      pixelsPerMm: 3.65,
    },
  }
  const { pixels, width, height, panel, areas, card, truth } = renderPhoto(plan)
  const jpeg = await encodeJpeg({
    pixels,
    width,
    height,
    space,
    quality: 90,
    onItsSide: options.onItsSide ?? false,
    exif: {
      camera: 'Test camera',
      takenAt: new Date('2026-05-14T10:20:30Z'),
      exposureS: 1 / 60,
      fNumber: 1.8,
      iso: 100,
    },
  })
  await writeFile(file, jpeg)
  return { width, height, panel, areas, card, truth }
}
