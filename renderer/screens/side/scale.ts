/** Of a picture: its own pixels, and how large one of them was, where that is known. */
export type PictureSize = { widthPx: number; heightPx: number; mmPerPixel: number | null }
/** A place on screen, in CSS pixels. */
export type Bay = { width: number; height: number }

/** More times larger than in the photo and grain is a blur: around it the flat colour is shown instead. */
const mostMagnified = 3

const covering = (width: number, height: number, bay: Bay): number => Math.max(bay.width / width, bay.height / height)

/**
 * One physical scale for all pictures whose scale is known, so that grain can be compared: as large as covers every place, as
 * far as no photo is made more than three times larger than it is.
 * @returns CSS pixels for a millimetre; null where fewer than two say theirs
 */
export function sharedScale(pictures: readonly (PictureSize | null)[], bay: Bay): number | null {
  const known = pictures.flatMap((picture) =>
    picture?.mmPerPixel ? [{ ...picture, mmPerPixel: picture.mmPerPixel }] : [],
  )
  if (known.length < 2) return null
  const wanted = known.map(({ widthPx, heightPx, mmPerPixel }) =>
    covering(widthPx * mmPerPixel, heightPx * mmPerPixel, bay),
  )
  const most = known.map(({ mmPerPixel }) => mostMagnified / mmPerPixel)
  return Math.min(Math.max(...wanted), ...most)
}

/** How large a picture is drawn: at the shared scale, else so that it covers its place. */
export function drawnSize({ widthPx, heightPx, mmPerPixel }: PictureSize, bay: Bay, scale: number | null): Bay {
  const times = scale !== null && mmPerPixel !== null ? scale * mmPerPixel : covering(widthPx, heightPx, bay)
  return { width: widthPx * times, height: heightPx * times }
}
