import { Refusal } from '../../shared-core/contract/refusal.ts'

/** Why a file is not taken as a photo. */
export const refusals = {
  empty: () =>
    new Refusal('photo/empty', 'The file is empty.', 'Copy it again from the phone or the card, then add it again.'),
  notAPicture: () =>
    new Refusal(
      'photo/not-a-picture',
      'This file is not a photo that can be read, whatever its name says.',
      'Add a JPEG, HEIC, PNG, TIFF, WebP, AVIF or DNG file.',
    ),
  drawing: () =>
    new Refusal(
      'photo/drawing',
      'This is an SVG, a drawing made of lines and fills, not a photo.',
      'Add the photo itself, as a JPEG, HEIC, PNG, TIFF, WebP or AVIF file.',
    ),
  raw: () =>
    new Refusal(
      'photo/raw-later',
      'This is a camera’s raw file, which cannot be read yet.',
      'Develop it on the computer and export a 16-bit TIFF, or add the JPEG that the camera made beside it.',
    ),
  rawWithoutPreview: () =>
    new Refusal(
      'photo/raw-no-preview',
      'This is a camera’s raw file (DNG) without a developed picture inside that is large enough to read.',
      'Develop it on the computer and export a 16-bit TIFF, or add the JPEG that the camera made beside it.',
    ),
  heifCoding: () =>
    new Refusal(
      'photo/heif-coding',
      'The picture in this HEIF file is coded in a way that cannot be read.',
      'Export it as JPEG, or set the phone’s camera format to “most compatible” and take it again.',
    ),
  hdr: () =>
    new Refusal(
      'photo/hdr',
      'This is an HDR picture: its numbers are made for a bright screen and do not say how much light fell on the camera.',
      'Switch HDR off in the camera’s settings and take the photo again, or export it as JPEG in standard range.',
    ),
  damaged: () =>
    new Refusal(
      'photo/damaged',
      'The file is damaged or cut short: its picture cannot be read to the end.',
      'Copy it again from where it came from, then add it again.',
    ),
  tooLarge: () =>
    new Refusal(
      'photo/too-large',
      'The picture has more than 200 million pixels.',
      'Make it smaller first; a panel needs no more than a phone’s ordinary photo.',
    ),
  tooLargeWhole: () =>
    new Refusal(
      'photo/too-large',
      'The picture is kept in a form that has to be unpacked as a whole, and has too many pixels for that.',
      'Save it as an ordinary JPEG (not progressive), or make it smaller first.',
    ),
  fileTooLarge: (mostBytes: number) =>
    new Refusal(
      'photo/too-large',
      `The file is larger than ${Math.round(mostBytes / 1e6).toLocaleString('en-GB')} MB, which no photo is.`,
      'Export the photo as an ordinary JPEG, then add that.',
    ),
  harmful: () =>
    new Refusal(
      'photo/harmful',
      'The file is built so that opening it would take enormous work or memory, as no camera writes one. It was not opened.',
      'If you know where it comes from, open it in another program, export it as a new JPEG and add that.',
    ),
  tooLong: () =>
    new Refusal(
      'photo/too-long',
      'Reading this picture took longer than any photo should, so it was given up.',
      'Open it in another program, export it as a new JPEG and add that.',
    ),
  cmyk: () =>
    new Refusal(
      'photo/cmyk',
      'The file is in printing inks (CMYK), not in the camera’s red, green and blue.',
      'Add the camera’s own file, or export it as RGB.',
    ),
  strangeNumbers: () =>
    new Refusal(
      'photo/not-8-or-16-bit',
      'The file keeps its numbers in a form other than 8 or 16 bits for each channel.',
      'Export it as a 16-bit TIFF or PNG.',
    ),
  manyPictures: () =>
    new Refusal(
      'photo/many-pictures',
      'The file holds several pictures or an animation.',
      'Export the picture wanted as a file of its own.',
    ),
}

/** What sharp says when it cannot go on, turned into a refusal; anything else that fails here is the picture's damage too. */
export function refusalOf(error: unknown): Refusal {
  if (error instanceof Refusal) return error
  const text = error instanceof Error ? error.message : String(error)
  if (/exceeds pixel limit|too large|dimensions? exceed/i.test(text)) return refusals.tooLarge()
  return /^timeout:/i.test(text) ? refusals.tooLong() : refusals.damaged()
}
