import { createHash } from 'node:crypto'
import { readFile } from 'node:fs/promises'
import { basename, join } from 'node:path'
import sharp from 'sharp'
import { expect, vi } from 'vitest'
import type { Hint } from '../../electron/rack/queries/hints.ts'
import { startIntake } from '../../electron/service/intake.ts'
import type { LookAt } from '../../electron/service/proposals/look-at-photo.ts'
import type { Panel } from '../../shared-core/records/panel.ts'
import type { Found } from '../../shared-core/records/proposal.ts'
import { draft } from '../rack/fresh.ts'
import { type BenchService, benchService } from './bench-service.ts'
import { box } from './panel-photo.ts'

/** A tray whose photos are looked at: what is found in each is laid down here, so that it is the filing that is tried. */

export type Bench = BenchService & {
  /** Takes in a photo of a panel of this colour, in which these codes are found. @returns its id */
  readonly shoot: (colour: readonly number[], codes: readonly string[], more?: Shot) => Promise<string>
  readonly panel: (more?: Parameters<typeof draft>[0]) => Promise<Panel>
  /** All photos of the tray were looked at. */
  readonly looked: () => Promise<void>
  /** Names of files looked at, in order, as often as they were. */
  readonly lookedAt: string[]
}
export type Shot = {
  name?: string
  takenAt?: string
  camera?: string
  found?: Partial<Found>
  /** What whoever sent it said. */
  hint?: Hint
  width?: number
  quality?: number
}

export const whole: Found = {
  panels: [{ quad: box(60, 60, 200, 260), confidence: 0.9, steps: [] }],
  cards: [{ quad: box(400, 60, 160, 280), confidence: 0.9 }],
  chart: null,
  sheet: null,
  symbols: [],
}

export const oneStep = { steps: [{ id: null, coats: 3, notes: '' }] }

/** @param meanwhile  called as a photo is looked at, by its name */
export async function proposing(meanwhile: (name: string) => Promise<void> = async () => undefined): Promise<Bench> {
  const finds = new Map<string, { name: string; found: Found }>()
  const lookedAt: string[] = []
  const lookAt: LookAt = async (path) => {
    const known = finds.get(basename(path).split('.')[0] ?? '')
    if (!known) throw new Error(`A photo that nobody took: ${path}`)
    lookedAt.push(known.name)
    await meanwhile(known.name)
    return known.found
  }
  const service = await benchService({ lookAt })
  const { call, ended, folder, context } = service
  await call('rack.create', { folder: join(folder, 'rack'), name: 'Bench' })
  let count = 0
  return {
    ...service,
    lookedAt,
    panel: async (more = oneStep) => (await call('panels.save', { draft: draft(more) })).panel,
    looked: () =>
      vi.waitFor(async () => expect((await call('proposals.overview', {})).waiting).toBe(0), { timeout: 20_000 }),
    shoot: async (colour, codes, { name = `shot-${++count}.jpg`, found = {}, hint, ...shot } = {}) => {
      const path = join(folder, name)
      await takePicture(path, colour, shot)
      const symbols = codes.map((text, i) => ({ text, quad: box(10 + 50 * i, 5, 40, 40) }))
      const sha256 = createHash('sha256')
        .update(await readFile(path))
        .digest('hex')
      finds.set(sha256, { name, found: { ...whole, symbols, ...found } })
      const { items } = await ended(await startIntake(context.rack(), [{ path, name, hint }], context))
      return items[0]?.photoId ?? ''
    },
  }
}

/** Paint on the left, a grey card on the right, both with a little grain. */
async function takePicture(path: string, colour: readonly number[], shot: Shot): Promise<void> {
  const [width, height] = [600, 400]
  const pixels = Buffer.alloc(width * height * 3)
  let state = colour.reduce((sum, each) => sum * 31 + each, 7)
  for (let i = 0; i < width * height; i++) {
    const [x, y] = [i % width, Math.floor(i / width)]
    const isCard = x >= 395 && x < 565 && y >= 55 && y < 345
    const isPanel = x >= 60 && x < 260 && y >= 60 && y < 320
    const here = isPanel ? colour : isCard ? [119, 119, 119] : [200, 200, 200]
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    for (const channel of [0, 1, 2]) pixels[i * 3 + channel] = (here[channel] ?? 0) + (state >>> 29) - 3
  }
  const { takenAt, camera = 'Ember 5' } = shot
  const time = takenAt && { DateTimeOriginal: takenAt.replaceAll('-', ':').replace('T', ' ') }
  const picture = sharp(pixels, { raw: { width, height, channels: 3 } })
  await (shot.width ? picture.resize({ width: shot.width }) : picture)
    .withExif({ IFD0: { Model: camera }, ...(time && { IFD2: time }) })
    .jpeg({ quality: shot.quality ?? 95, chromaSubsampling: '4:4:4' })
    .toFile(path)
}
