import type { Pixels } from '../../shared-core/capture/pixels.ts'
import { openMade } from './open.ts'

/** The numbers of a smaller picture that was made here of a photo: upright, 8 bits, in the photo's own profile. */
export async function smallPixels(path: string): Promise<Pixels> {
  const { data, info } = await openMade(path, { ignoreIcc: true })
    .removeAlpha()
    .toColourspace('srgb')
    .raw({ depth: 'uchar' })
    .toBuffer({ resolveWithObject: true })
  return { width: info.width, height: info.height, channels: 3, bits: 8, data }
}
