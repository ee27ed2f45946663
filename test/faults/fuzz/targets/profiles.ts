import { deflateSync } from 'node:zlib'
import sharp from 'sharp'
import { tiffBytes } from '../../../published/dng/tiff-bytes.ts'
import { heifFile, iccProperty, pictureItem } from '../../../published/heif/heif-bytes.ts'
import { busy, rgbPicture } from '../../../published/heif/rgb-picture.ts'
import { jpeg, type Part, png, webp } from '../containers.ts'
import { mutated, tokensOf } from '../mutate.ts'
import type { Random } from '../random.ts'
import { profileSeeds } from '../seeds.ts'
import { takeIn } from '../take-in.ts'
import type { FuzzTarget } from '../target.ts'

const words = tokensOf(
  'acsp',
  'RGB ',
  'GRAY',
  'CMYK',
  'Lab ',
  'XYZ ',
  'curv',
  'para',
  'mluc',
  'desc',
  'rXYZ',
  'gXYZ',
  'bXYZ',
  'rTRC',
  'gTRC',
  'bTRC',
  'A2B0',
  'B2A0',
  'mAB ',
  'mft1',
  'mft2',
  'wtpt',
  'chad',
  'mntr',
  'scnr',
  'link',
  'abst',
  'nmcl',
  'sf32',
  'vcgt',
  'cicp',
)

/** Offsets and sizes of the tags (ICC.1:2010 clause 7.3), and what their bodies count. */
function harmedProfile(profile: Buffer, random: Random): Uint8Array {
  const copy = Buffer.from(profile)
  const tags = copy.readUInt32BE(128)
  const edges = [0, 1, 127, 128, copy.length - 1, copy.length, copy.length + 1, 0x7fffffff, 0xfffffff8, 0xffffffff]
  for (let i = random.few(5); i > 0; i--) {
    const entry = 132 + 12 * random.int(tags)
    const body = copy.readUInt32BE(entry + 4)
    const isInside = body + 16 <= copy.length
    switch (random.int(7)) {
      case 0:
        copy.writeUInt32BE(random.pick(edges), entry + 4)
        break
      case 1:
        copy.writeUInt32BE(random.pick(edges), entry + 8)
        break
      case 2:
        copy.writeUInt32BE(random.pick([0, 1, 1000, 1001, 0xffffff, 0xffffffff]), 128)
        break
      case 3:
        // counts of curves and texts
        if (isInside) copy.writeUInt32BE(random.pick([0, 1, 2, 65_535, 65_536, 65_537, 0xffffffff]), body + 8)
        break
      case 4:
        // matrices and gammas: nothing, the largest, the least
        if (isInside)
          copy.writeInt32BE(
            random.pick([0, 1, -1, 0x7fffffff, -0x80000000, 65_536, -65_536]),
            body + 8 + 4 * random.int(2),
          )
        break
      case 5:
        copy.set(random.pick(words), random.pick([12, 16, 20, 36, entry, isInside ? body : entry]))
        break
      default:
        // two tags share one body
        copy.copy(copy, entry, 132, 144)
    }
  }
  return random.chance(0.3) ? mutated(copy, random, profileSeeds, words) : copy
}

/** What profiles travel in, made once; tag numbers and segment names as in ICC.1:2010 annex B. */
type Carriers = { jpeg: Part[]; png: Part[]; webp: Part[]; size: { width: number; height: number } }
let carriers: Promise<Carriers> | null = null
const size = { width: 16, height: 16 }

async function make(): Promise<Carriers> {
  const plain = () => sharp({ create: { ...size, channels: 3, background: '#867' } })
  const [j, p, w] = await Promise.all([plain().jpeg().toBuffer(), plain().png().toBuffer(), plain().webp().toBuffer()])
  return { jpeg: jpeg.split(j), png: png.split(p), webp: webp.split(w), size }
}

export type Carried = { name: string; bytes: Uint8Array }

function carried(profile: Uint8Array, { jpeg: j, png: p, webp: w }: Carriers, random: Random): Carried {
  const latin = (text: string) => Buffer.from(text, 'latin1')
  // each HEIC starts a decoder of its own, three times: one in twenty
  switch (random.chance(0.05) ? 4 : random.int(4)) {
    case 0: {
      // in several pieces, as large ones are; their numbers may lie
      const pieces = random.few(6)
      const each = Math.min(60_000, Math.ceil(profile.length / pieces))
      const segments = Array.from({ length: pieces }, (_, i) => {
        const [number, all] = random.chance(0.9) ? [i + 1, pieces] : [random.int(256), random.int(256)]
        return {
          name: 'e2',
          body: Buffer.concat([
            latin('ICC_PROFILE\0'),
            Buffer.from([number, all]),
            profile.subarray(i * each, (i + 1) * each),
          ]),
        }
      })
      return { name: 'p.jpg', bytes: jpeg.join([...segments, ...j]) }
    }
    case 1: {
      const packed = random.chance(0.95) ? deflateSync(profile) : profile
      const body = Buffer.concat([latin('icc\0\0'), packed])
      return { name: 'p.png', bytes: png.join(p.toSpliced(1, 0, { name: 'iCCP', body })) }
    }
    case 2: {
      const header = Buffer.alloc(10)
      header[0] = 0x20
      header[4] = size.width - 1
      header[7] = size.height - 1
      return {
        name: 'p.webp',
        bytes: webp.join([{ name: 'VP8X', body: header }, { name: 'ICCP', body: profile }, ...w]),
      }
    }
    case 3: {
      const pixels = Buffer.alloc(size.width * size.height * 3, 120)
      const one = (tag: number, value: number) => ({ tag, type: 'long', values: [value] }) as const
      return {
        name: 'p.tif',
        bytes: tiffBytes([
          one(256, size.width),
          one(257, size.height),
          { tag: 258, type: 'short', values: [8, 8, 8] },
          one(259, 1),
          one(262, 2),
          { tag: 273, type: 'place', of: pixels },
          one(277, 3),
          one(278, size.height),
          one(279, pixels.length),
          { tag: 34675, type: 'byte', values: [...profile] },
        ]),
      }
    }
    default:
      return { name: 'p.heic', bytes: heifFile([pictureItem(1, rgbPicture(16, 16, busy), [iccProperty(profile)])], 1) }
  }
}

/** Colour profiles inside pictures. */
export const profiles: FuzzTarget<Carried> = {
  name: 'profiles',
  mostMb: 900,
  prepare: async () => void (await (carriers ??= make())),
  make: async (random) =>
    carried(harmedProfile(random.pick(profileSeeds), random), await (carriers ??= make()), random),
  run: ({ name, bytes }, service, i) => takeIn(service, name, bytes, i),
  keep: ({ bytes }) => bytes,
}
