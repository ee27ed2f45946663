import { copyFile, link, mkdir } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { sharp } from '../../../electron/photos/open.ts'
import { randomFrom } from '../../../electron/service/demonstration/random.ts'
import { labToCssColour } from '../../../shared-core/colour/screen.ts'
import type { Sprayed } from './sprayed.ts'

type Cut = { key: string; of: Sprayed['steps'][number] }

const side = { width: 256, height: 96 }
const [everyL, everyC] = [4, 8]

/**
 * Gives every cut its picture: drawn once for each colour that can be told apart at a glance, and put under each key as one
 * more name of the same file. @returns how many names
 */
export async function linkPictures(folder: string, cuts: readonly Cut[]): Promise<number> {
  const drawn = new Map<string, Promise<string>>()
  const of = ({ lab, grain }: Cut['of']): Promise<string> => {
    const near = {
      l: Math.round(lab.l / everyL) * everyL,
      a: Math.round(lab.a / everyC) * everyC,
      b: Math.round(lab.b / everyC) * everyC,
    }
    const name = `${near.l} ${near.a} ${near.b} ${grain}`
    const known = drawn.get(name)
    if (known) return known
    const made = draw(near, grain, join(folder, 'renditions', 'drawn', `${drawn.size}.webp`))
    drawn.set(name, made)
    return made
  }
  await mkdir(join(folder, 'renditions', 'drawn'), { recursive: true })
  const shelves = new Set<string>()
  for (const cut of cuts) {
    const path = join(folder, 'renditions', 'cuts', cut.key.slice(0, 2), `${cut.key}.webp`)
    if (!shelves.has(dirname(path))) await mkdir(dirname(path), { recursive: true })
    shelves.add(dirname(path))
    const source = await of(cut.of)
    // a drive that knows no second names gets a copy
    await link(source, path).catch(() => copyFile(source, path))
  }
  return cuts.length
}

async function draw(lab: Cut['of']['lab'], grain: number, path: string): Promise<string> {
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
  await sharp(data, { raw: { ...side, channels: 3 } })
    .webp({ quality: 92 })
    .toFile(path)
  return path
}

const byte = (value: number): number => Math.max(0, Math.min(255, Math.round(value)))
