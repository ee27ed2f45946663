import sharp, { type Sharp } from 'sharp'
import { type Entry, tiffBytes } from '../../published/dng/tiff-bytes.ts'
import {
  exifItem,
  gridItem,
  heifFile,
  iccProperty,
  pictureItem,
  turnProperty,
} from '../../published/heif/heif-bytes.ts'
import { busy, rgbPicture } from '../../published/heif/rgb-picture.ts'
import { curveTag, matrixProfile, parametricTag } from '../../unit/icc-bytes.ts'

/** Whole pictures of our own to begin with, small, in every form that an intake takes. */
export type Seeds = Readonly<Record<'jpeg' | 'png' | 'tiff' | 'webp' | 'avif' | 'heic' | 'dng', readonly Buffer[]>>

const [width, height] = [64, 48]
const drawn = (channels: 1 | 3 | 4 = 3, factor = 1): Sharp => {
  const data = Buffer.alloc(width * factor * height * factor * channels)
  for (let i = 0; i < data.length; i++) data[i] = (i * 7 + Math.floor(i / (width * channels)) * 3) % 251
  return sharp(data, { raw: { width: width * factor, height: height * factor, channels } })
}
const exif = { IFD0: { Make: 'Workshop', Model: 'Ember 5' }, IFD2: { FNumber: '18/10', ISOSpeedRatings: '64' } }
const deep = () => drawn().toColourspace('rgb16')

export const profileSeeds: readonly Buffer[] = [
  matrixProfile(parametricTag(3, [2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045])),
  matrixProfile(parametricTag(0, [2.2])),
  matrixProfile(curveTag([563]), undefined, { version: 2 }),
  matrixProfile(curveTag(Array.from({ length: 256 }, (_, i) => Math.round(65_535 * (i / 255) ** 2.2)))),
]

/** EXIF as a TIFF: a first directory, EXIF's own below it, another chained behind by some writers. */
export function exifBlock(): Buffer {
  const ascii = (tag: number, text: string): Entry => ({ tag, type: 'ascii', text })
  return tiffBytes([
    ascii(271, 'Workshop'),
    ascii(272, 'Ember 5'),
    { tag: 274, type: 'short', values: [1] },
    ascii(306, '2024:05:31 14:02:10'),
    {
      tag: 34665,
      type: 'below',
      directories: [
        [
          { tag: 33434, type: 'long', values: [1, 120] },
          { tag: 33437, type: 'long', values: [18, 10] },
          { tag: 34855, type: 'short', values: [64] },
          ascii(36867, '2024:05:31 14:02:10'),
          ascii(36881, '+02:00'),
          { tag: 41987, type: 'short', values: [1] },
          { tag: 37386, type: 'long', values: [57, 10] },
        ],
      ],
    },
    {
      tag: 34853,
      type: 'below',
      directories: [[ascii(1, 'N'), { tag: 2, type: 'long', values: [48, 1, 0, 1, 0, 1] }]],
    },
  ])
}

let made: Promise<Seeds> | null = null
export function pictureSeeds(): Promise<Seeds> {
  made ??= make()
  return made
}

async function make(): Promise<Seeds> {
  const all = (...pictures: Promise<Buffer>[]) => Promise.all(pictures)
  const animation = sharp(await Promise.all([1, 2, 3].map(() => drawn().png().toBuffer())), {
    join: { animated: true },
  })
  const tile = (id: number) => pictureItem(id, rgbPicture(16, 16, busy))
  const preview = await drawn(3, 12).jpeg({ quality: 60 }).toBuffer()
  return {
    jpeg: await all(
      drawn().jpeg().toBuffer(),
      drawn().jpeg({ progressive: true, chromaSubsampling: '4:4:4' }).toBuffer(),
      drawn().withIccProfile('p3').withExif(exif).jpeg({ quality: 60 }).toBuffer(),
      drawn().withMetadata({ orientation: 6 }).jpeg({ optimiseScans: true }).toBuffer(),
      drawn(1).jpeg().toBuffer(),
    ),
    png: await all(
      drawn().png().toBuffer(),
      deep().png().toBuffer(),
      drawn(4).png({ progressive: true }).toBuffer(),
      drawn().png({ palette: true }).toBuffer(),
      drawn().withIccProfile('p3').withExif(exif).png().toBuffer(),
      drawn(1).png().toBuffer(),
    ),
    tiff: await all(
      drawn().tiff({ compression: 'none' }).toBuffer(),
      drawn().tiff({ compression: 'lzw', predictor: 'horizontal' }).toBuffer(),
      deep().tiff({ compression: 'deflate', tile: true, tileWidth: 16, tileHeight: 16 }).toBuffer(),
      drawn().tiff({ compression: 'jpeg', quality: 70 }).toBuffer(),
      drawn(1).tiff({ compression: 'packbits' }).toBuffer(),
      drawn().withIccProfile('p3').withExif(exif).tiff({ compression: 'deflate', pyramid: true }).toBuffer(),
      drawn(1).toColourspace('b-w').tiff({ compression: 'none', bitdepth: 1 }).toBuffer(),
    ),
    webp: await all(
      drawn().webp().toBuffer(),
      drawn(4).webp({ lossless: true }).toBuffer(),
      drawn(4).withIccProfile('p3').withExif(exif).webp().toBuffer(),
      animation.webp().toBuffer(),
    ),
    avif: await all(
      drawn().avif({ effort: 1 }).toBuffer(),
      drawn().avif({ effort: 1, lossless: true }).toBuffer(),
      drawn(4)
        .withIccProfile('p3')
        .withExif(exif)
        .avif({ effort: 1, bitdepth: 10 })
        .toBuffer()
        .catch(() => drawn(4).avif({ effort: 1 }).toBuffer()),
    ),
    heic: [
      heifFile([pictureItem(1, rgbPicture(32, 32, busy))], 1),
      heifFile(
        [
          pictureItem(1, rgbPicture(24, 20, busy), [iccProperty(profileSeeds[0] as Buffer), turnProperty(1)]),
          exifItem(2, exifBlock(), 1),
        ],
        1,
      ),
      heifFile(
        [tile(1), tile(2), tile(3), tile(4), gridItem(9, [1, 2, 3, 4], { rows: 2, columns: 2, width: 30, height: 30 })],
        9,
      ),
      heifFile([pictureItem(1, rgbPicture(16, 16, busy, { bits: 10 }))], 1),
    ],
    dng: [dngWith(preview), dngWith(await drawn(3, 9).withIccProfile('p3').jpeg().toBuffer())],
  }
}

/** A raw file with a developed picture inside. Tags of TIFF 6.0 appendix A and Digital Negative 1.6 chapter 4. */
function dngWith(jpeg: Buffer): Buffer {
  const one = (tag: number, value: number): Entry => ({ tag, type: 'long', values: [value] })
  const developed: Entry[] = [
    one(254, 1),
    one(256, 768),
    one(257, 576),
    one(259, 7),
    one(262, 6),
    { tag: 273, type: 'place', of: jpeg },
    one(279, jpeg.length),
    one(50970, 3),
  ]
  return tiffBytes([
    { tag: 50706, type: 'byte', values: [1, 6, 0, 0] },
    { tag: 272, type: 'ascii', text: 'Ember 5' },
    { tag: 274, type: 'short', values: [6] },
    { tag: 330, type: 'below', directories: [developed, developed.slice(0, 4)] },
  ])
}
