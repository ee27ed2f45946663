import sharp from 'sharp'
import { exifItem, heifFile, pictureItem } from '../../../published/heif/heif-bytes.ts'
import { busy, rgbPicture } from '../../../published/heif/rgb-picture.ts'
import { harmedTiff, jpeg, type Part, png, webp } from '../containers.ts'
import { mutated, tokensOf } from '../mutate.ts'
import type { Random } from '../random.ts'
import { exifBlock } from '../seeds.ts'
import { takeIn } from '../take-in.ts'
import type { FuzzTarget } from '../target.ts'
import type { Carried } from './profiles.ts'

const words = tokensOf(
  '\x87\x69',
  '\x69\x87',
  '\x88\x25',
  '\x92\x86',
  '\x92\x7c',
  'Exif\0\0',
  'II*\0',
  'MM\0*',
  'II+\0',
  '0000:00:00 00:00:00',
  '\x1b[31m',
  '<b>',
)

type Carriers = { jpeg: Part[]; png: Part[]; webp: Part[] }
let carriers: Promise<Carriers> | null = null
async function make(): Promise<Carriers> {
  const plain = () => sharp({ create: { width: 16, height: 16, channels: 3, background: '#867' } })
  const [j, p, w] = await Promise.all([plain().jpeg().toBuffer(), plain().png().toBuffer(), plain().webp().toBuffer()])
  return { jpeg: jpeg.split(j), png: png.split(p), webp: webp.split(w) }
}

function carried(block: Uint8Array, { jpeg: j, png: p, webp: w }: Carriers, random: Random): Carried {
  const head = Buffer.from('Exif\0\0', 'latin1')
  switch (random.chance(0.05) ? 2 : random.pick([0, 1, 3])) {
    case 0:
      return { name: 'e.png', bytes: png.join(p.toSpliced(1, 0, { name: 'eXIf', body: block })) }
    case 1: {
      const header = Buffer.alloc(10)
      header[0] = 0x08
      header[4] = 15
      header[7] = 15
      return { name: 'e.webp', bytes: webp.join([{ name: 'VP8X', body: header }, ...w, { name: 'EXIF', body: block }]) }
    }
    // each HEIC starts a decoder of its own, three times
    case 2:
      return {
        name: 'e.heic',
        bytes: heifFile([pictureItem(1, rgbPicture(16, 16, busy)), exifItem(2, Buffer.from(block), 1)], 1),
      }
    default: {
      const body = Buffer.concat([head, block.subarray(0, 65_000)])
      const count = random.chance(0.9) ? 1 : random.few(40)
      return { name: 'e.jpg', bytes: jpeg.join([...Array.from({ length: count }, () => ({ name: 'e1', body })), ...j]) }
    }
  }
}

/** EXIF inside pictures: directories that lead out of the block, back to themselves, or count to billions. */
export const exif: FuzzTarget<Carried> = {
  name: 'exif',
  mostMb: 900,
  prepare: async () => void (await (carriers ??= make())),
  make: async (random) => {
    const seed = exifBlock()
    const block = random.chance(0.75) ? harmedTiff(seed, random) : mutated(seed, random, [], words)
    return carried(block, await (carriers ??= make()), random)
  },
  run: ({ name, bytes }, service, i) => takeIn(service, name, bytes, i),
  keep: ({ bytes }) => bytes,
}
