import sharp, { type Sharp } from 'sharp'

// nothing of a photo stays behind in memory, and two pictures at once are best on two cores
sharp.cache(false)
sharp.concurrency(2)

/** More pixels than this are refused before they are decoded: about 200 megapixels. */
export const mostPixels = 200_000_000

/**
 * Opens a photo the careful way: pixel limit on, first page only, and nothing that warns is passed off as whole.
 * The file's numbers stay as they are: sharp would convert them to sRGB and clip what lies outside it.
 * @param photo  the path of a file that sharp can decode, or its bytes; see `openPicture` for every other
 */
export function openPhoto(photo: string | Uint8Array): Sharp {
  return sharp(photo, {
    failOn: 'warning',
    limitInputPixels: mostPixels,
    autoOrient: true,
    ignoreIcc: true,
    pages: 1,
  })
}

export { sharp }
