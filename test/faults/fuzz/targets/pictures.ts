import { boxes, type Container, harmedParts, harmedTiff, jpeg, png, webp } from '../containers.ts'
import { mutated, tokensOf } from '../mutate.ts'
import type { Random } from '../random.ts'
import { pictureSeeds, type Seeds } from '../seeds.ts'
import { takeIn } from '../take-in.ts'
import type { FuzzTarget } from '../target.ts'

type Format = keyof Seeds
export type HostilePicture = { name: string; bytes: Uint8Array }

const words = tokensOf(
  'Exif\0\0',
  'ICC_PROFILE\0\x01\x01',
  'II*\0\x08\0\0\0',
  'MM\0*\0\0\0\x08',
  'http://ns.adobe.com/xap/1.0/\0',
  'MPF\0',
  'JFIF\0',
  '\xff\xd8\xff',
  '\xff\xd9',
  '\xff\xda',
  '\xff\xc2',
  '\xff\xdd',
  'IHDR',
  'IDAT',
  'IEND',
  'PLTE',
  'tRNS',
  'iCCP',
  'eXIf',
  'acTL',
  'zTXt',
  'VP8X',
  'VP8L',
  'VP8 ',
  'ANIM',
  'ANMF',
  'ALPH',
  'ICCP',
  'EXIF',
  'ftypavif',
  'ftypheic',
  'meta',
  'iloc',
  'iinf',
  'iprp',
  'ipco',
  'ispe',
  'grid',
  'tmap',
  'auxC',
  'irot',
  'colrprof',
  'colrnclx',
  'hvcC',
  'av1C',
  'idat',
  'PK\x03\x04',
  '%PDF-1.7',
  '<svg xmlns=',
  'GIF89a',
)
const containers: Partial<Record<Format, Container>> = { jpeg, png, webp, avif: boxes, heic: boxes }
const endings: Readonly<Record<Format, string>> = {
  jpeg: 'jpg',
  png: 'png',
  tiff: 'tif',
  webp: 'webp',
  avif: 'avif',
  heic: 'heic',
  dng: 'dng',
}

function harmed(format: Format, seeds: Seeds, random: Random): Uint8Array {
  const own = seeds[format]
  const bytes = random.pick(own)
  const others = random.chance(0.3) ? Object.values(seeds).flat() : own
  const container = containers[format]
  if (random.chance(0.35)) return mutated(bytes, random, others, words)
  if (container) {
    const once = harmedParts(container, bytes, random, others)
    return random.chance(0.2) ? mutated(once, random, others, words) : once
  }
  return harmedTiff(bytes, random)
}

/** Pictures of every form that an intake takes, harmed in their pieces and in their bytes. */
function picturesOf(name: string, formats: readonly Format[]): FuzzTarget<HostilePicture> {
  return {
    name,
    mostMb: 900,
    prepare: async () => void (await pictureSeeds()),
    make: async (random, i) => {
      // each HEIC starts a decoder of its own, three times: one in twenty
      const format = i % 20 === 19 ? 'heic' : (formats[i % formats.length] as Format)
      const bytes = harmed(format, await pictureSeeds(), random)
      // the name says nothing that counts
      const ending = random.chance(0.9) ? endings[format] : random.pick(['jpg', 'svg', 'html', 'pdf', 'exe', 'zip'])
      return { name: `${i}.${ending}`, bytes }
    },
    run: ({ name: file, bytes }, service, i) => takeIn(service, file, bytes, i),
    keep: ({ bytes }) => bytes,
  }
}

export const pictures = picturesOf('pictures', ['jpeg', 'png', 'tiff', 'webp', 'avif', 'dng'])
