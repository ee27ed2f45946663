import { Refusal } from '../../shared-core/contract/refusal.ts'
import { printPicture } from '../photos/print-picture.ts'
import type { PictureMark } from '../print/draw-pages.ts'
import type { Rack } from '../rack/opening/open.ts'
import { locatePicture } from './pictures.ts'

/** 150 dots per inch: finer than an index is looked at, and small. */
const dotsPerMm = 150 / 25.4

/** Pictures by their key as small JPEGs; null where the original is gone. */
export const pictureForPaper =
  (rack: Rack, signal: AbortSignal) =>
  async ({ key, widthMm, heightMm }: PictureMark): Promise<Buffer | null> => {
    signal.throwIfAborted()
    const dots = (mm: number) => Math.max(2, Math.round(mm * dotsPerMm))
    try {
      const { path } = await locatePicture(rack, key)
      return await printPicture(path, dots(widthMm), dots(heightMm))
    } catch (error) {
      if (error instanceof Refusal) return null
      throw error
    }
  }
