import { copyFile, link, mkdir } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { sharp } from '../../../electron/photos/open.ts'
import { randomFrom } from '../../../electron/service/demonstration/random.ts'
import { pictureFile } from '../../../electron/service/link/picture-files.ts'
import { labToCssColour } from '../../../shared-core/colour/screen.ts'
import type { Sprayed } from './sprayed.ts'

type Cut = { key: string; of: Sprayed['steps'][number] }

type Drawn = Record<'usual' | 'small', string>
const side = { width: 256, height: 96 }
const [everyL, everyC] = [4, 8]

/**
 * Gives every cut its pictures, of the size that the wall shows and of the smaller one: drawn once for each colour that can be told apart at a glance, and put under each key as one
 * more name of the same file. @returns how many cuts
 */
export async function linkPictures(folder: string, cuts: readonly Cut[]): Promise<number> {
  const drawn = new Map<string, Promise<Drawn>>()
  const of = ({ lab, grain }: Cut['of']): Promise<Drawn> => {
    const near = {
      l: Math.round(lab.l / everyL) * everyL,
      a: Math.round(lab.a / everyC) * everyC,
      b: Math.round(lab.b / everyC) * everyC,
    }
    const name = `${near.l} ${near.a} ${near.b} ${grain}`
    const known = drawn.get(name)
    if (known) return known
    const made = draw(near, grain, join(folder, 'renditions', 'drawn', `${drawn.size}`))
    drawn.set(name, made)
    return made
  }
  await mkdir(join(folder, 'renditions', 'drawn'), { recursive: true })
  const renditions = join(folder, 'renditions')
  const shelves = new Set<string>()
  for (const { key, of: step } of cuts) {
    const sources = await of(step)
    for (const size of ['usual', 'small'] as const) {
      const path = pictureFile(renditions, { kind: 'cut', hash: key, size })
      if (!shelves.has(dirname(path))) await mkdir(dirname(path), { recursive: true })
      shelves.add(dirname(path))
      // a drive that knows no second names gets a copy
      await link(sources[size], path).catch(() => copyFile(sources[size], path))
    }
  }
  return cuts.length
}

async function draw(lab: Cut['of']['lab'], grain: number, path: string): Promise<Drawn> {
  const random = randomFrom(path.slice(-12))
  const { hex } = labToCssColour(lab)
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16))
  const data = new Uint8Array(side.width * side.height * 3)
  for (let i = 0; i < data.length; i += 3) {
    const light = 1 + grain * random.normal()
    data[i] = byte(r * light)
    data[i + 1] = byte(g * light)
    data[i + 2] = byte(b * light)
  }
  const picture = sharp(data, { raw: { ...side, channels: 3 } })
  const drawn = { usual: `${path}.webp`, small: `${path}-small.webp` }
  await picture.clone().webp({ quality: 92 }).toFile(drawn.usual)
  await picture
    .clone()
    .resize(side.width / 2)
    .webp({ quality: 92 })
    .toFile(drawn.small)
  return drawn
}

const byte = (value: number): number => Math.max(0, Math.min(255, Math.round(value)))
