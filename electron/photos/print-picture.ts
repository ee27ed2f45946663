import { openMade } from './open.ts'
import { refusalOf } from './refusals.ts'

const quality = 78

/**
 * A small JPEG of a picture made before (a cut-out), for paper: sRGB, cut evenly to the proportions asked for, never
 * enlarged beyond them.
 * @throws Refusal when the file cannot be read
 */
export async function printPicture(path: string, width: number, height: number): Promise<Buffer> {
  try {
    return await openMade(path)
      .resize({ width, height, fit: 'cover', position: 'centre' })
      .removeAlpha()
      // numbers go over into the profile that paper programs take for granted
      .toColourspace('srgb')
      .jpeg({ quality, chromaSubsampling: '4:2:0', mozjpeg: true })
      .toBuffer()
  } catch (error) {
    throw refusalOf(error)
  }
}
