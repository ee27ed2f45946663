import type { Sharp } from 'sharp'
import { previewOf } from './dng/preview.ts'
import { decodeHeif } from './heif/heif-file.ts'
import type { Facts } from './inspect.ts'
import { openPhoto, sharp } from './open.ts'

/**
 * Opens the picture of any format for a pipeline of sharp's: upright, the file's own numbers, its profile in
 * `facts.icc`. HEIC comes with eight bits, which is all that a preview shows; `decodePhoto` gives every bit.
 * @param signal  stops the decoding of a HEIC
 * @throws Refusal as `inspectPhoto` does; or the signal's reason
 */
export async function openPicture(path: string, facts: Facts, signal?: AbortSignal): Promise<Sharp> {
  switch (facts.format) {
    case 'heic': {
      const { width, height, data } = await decodeHeif(path, facts, { eightBits: true, signal })
      return sharp(data, { raw: { width, height, channels: 3 } })
    }
    case 'dng':
      return openPhoto((await previewOf(path)).jpeg)
    default:
      return openPhoto(path)
  }
}
