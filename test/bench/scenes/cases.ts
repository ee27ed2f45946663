import { encodeJpeg } from '../../../electron/photos/encode.ts'
import { sharp } from '../../../electron/photos/open.ts'
import type { Pixels } from '../../../shared-core/capture/pixels.ts'
import type { Lab } from '../../../shared-core/colour/lab.ts'
import type { RgbProfile } from '../../../shared-core/colour/profile.ts'
import type { Layout } from '../../../shared-core/records/area.ts'
import { type Group, type PlannedSet, plannedSet } from './groups.ts'
import { renderShot } from './picture/render.ts'
import type { Shot } from './picture/shot.ts'
import type { Facts } from './wish.ts'

export type SceneCase = {
  /** As a decoded photo file gives them: upright numbers of an 8-bit JPEG. */
  pixels: Pixels
  profile: RgbProfile
  layout: Layout
  /** Lab (D50, 2°) of the paint in each area, from its spectrum. */
  truth: Lab[]
  /** Photos with the same name are of one camera in one light; the first of them shows the chart. */
  setup?: string
  facts: Facts
}

/** Photos with their answers, one after another; the same for the same seed. Count is in sets: four photos for a set-up. */
export async function* sceneCases(group: Group, count: number, seed: string): AsyncGenerator<SceneCase> {
  for (let i = 0; i < count; i++) yield* casesOf(plannedSet(group, i, seed))
}

export async function* casesOf({ setup, photos }: PlannedSet): AsyncGenerator<SceneCase> {
  for (const planned of photos) {
    const pixels = await pixelsOf(planned)
    const { profile, layout, truth, facts } = planned
    yield { pixels, profile, layout, truth, facts, ...(setup === null ? {} : { setup }) }
  }
}

/** The photo as it is decoded from its file. */
export const pixelsOf = async (planned: { shot: Shot }): Promise<Pixels> => throughJpeg(await jpegOf(planned))

/** The photo as a file. */
export function jpegOf({ shot }: { shot: Shot }): Promise<Buffer> {
  return encodeJpeg({
    pixels: renderShot(shot),
    width: shot.width,
    height: shot.height,
    space: shot.camera.space,
    quality: shot.quality,
    onItsSide: false,
    exif: null,
  })
}

async function throughJpeg(jpeg: Buffer): Promise<Pixels> {
  const { data, info } = await sharp(jpeg, { ignoreIcc: true })
    .removeAlpha()
    .raw({ depth: 'uchar' })
    .toBuffer({ resolveWithObject: true })
  return { width: info.width, height: info.height, channels: 3, bits: 8, data }
}
