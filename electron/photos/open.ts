import sharp, { type Sharp } from 'sharp'

// nothing of a photo stays behind in memory, and two pictures at once are best on two cores
sharp.cache(false)
sharp.concurrency(2)

// whatever a file's bytes pretend to be, only these readers ever see them
sharp.block({ operation: ['VipsForeignLoad'] })
sharp.unblock({ operation: ['Jpeg', 'Png', 'Tiff', 'Webp', 'Heif'].map((kind) => `VipsForeignLoad${kind}`) })

/** More pixels than this are refused before they are decoded: about 200 megapixels. */
export const mostPixels = 200_000_000

/** The largest that are taken are decoded in a few seconds; a slow machine takes several times as long. */
const mostSeconds = 60

/**
 * Opens a photo the careful way: pixel and time limit on, first page only, and nothing that warns is passed off as whole.
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
  }).timeout({ seconds: mostSeconds })
}

/** The same for a picture that was made here from a photo: its file may have been put in place by somebody else. */
export function openMade(picture: string | Uint8Array, { ignoreIcc = false } = {}): Sharp {
  return sharp(picture, { limitInputPixels: mostMadePixels, pages: 1, ignoreIcc }).timeout({ seconds: mostSeconds })
}
/** The largest are 4096 on their longer side. */
const mostMadePixels = 4096 * 4096

export { sharp }
