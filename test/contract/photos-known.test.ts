/** What is known in a photo besides its card counts when it is read, and is told with each colour. */
import { join } from 'node:path'
import sharp from 'sharp'
import { expect, test } from 'vitest'
import { chartColours } from '../../shared-core/capture/camera/chart.ts'
import type { Layout } from '../../shared-core/records/area.ts'
import { benchService } from './bench-service.ts'
import { box, layoutFor, noHelp, sceneLayout, sceneOf } from './panel-photo.ts'

const colours = chartColours('avg30')
/** The chart's white and black, marked as tiles. */
const tiles: NonNullable<Layout['tiles']> = [
  { quad: box(30, 210, 40, 40), lab: colours[18]!, kind: 'white' },
  { quad: box(330, 210, 40, 40), lab: colours[23]!, kind: 'black' },
]
const { areas, card } = sceneLayout('panel', null)
const { chart } = sceneLayout('chart', null)

async function taken() {
  const service = await benchService()
  const { call, ended, folder } = service
  await call('rack.create', { folder: join(folder, 'rack'), name: 'Bench' })
  const files = [{ path: await sceneOf('chart', join(folder, 'chart.jpg')), name: 'chart.jpg' }]
  const { items } = await ended((await call('photos.takeIn', { files })).jobId)
  const photoId = items[0]?.photoId ?? ''
  const read = (layout: Layout) => call('photos.read', { photoId, layout, ...noHelp })
  return { ...service, photoId, read }
}

test('tiles and a chart in the photo make the level, and check the card', async () => {
  const { read } = await taken()
  const cases = [
    [{ areas, card }, 'card', 'not-checked'],
    [{ areas, card, tiles }, 'tiles', 'agrees'],
    [{ areas, card, chart }, 'chart', 'agrees'],
    [{ areas, card, tiles, chart }, 'chart', 'agrees'],
    // a chart does without a card
    [{ areas, card: null, chart }, 'chart', 'not-checked'],
    [{ areas, card: null }, 'uncalibrated', 'not-checked'],
  ] as const
  for (const [layout, level, cardCheck] of cases) {
    const answer = await read(layout)
    expect(answer.cardCheck).toBe(cardCheck)
    expect(answer.results.map(({ colour }) => colour?.level)).toEqual([level])
    const parts = answer.results[0]?.colour?.parts ?? []
    expect(Math.hypot(...parts.map(({ de00 }) => de00))).toBeCloseTo(answer.results[0]?.colour?.bound90 ?? 0, 9)
  }
})

test('a card that is not what was entered for it disagrees with tiles or chart, and is told with what to do', async () => {
  const { read } = await taken()
  const wrong = card && { ...card, lab: { ...card.lab, l: card.lab.l + 14 } }
  for (const known of [{ tiles }, { chart }]) {
    const { cardCheck, photo } = await read({ areas, card: wrong, ...known })
    expect(cardCheck).toBe('disagrees')
    const told = photo.find(({ code }) => code === 'photo/card-disagrees')
    expect(told?.remedy).toContain('card')
  }
})

/** Paint strewn with lighter discs of 6 pixels, a grey card beside it; PNG, so that nothing smears them. */
async function flakes(path: string): Promise<string> {
  const [width, height] = [600, 400]
  const light = new Float64Array(width * height).fill(1)
  let state = 11
  const next = (below: number) => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return (below * (state >>> 8)) / 2 ** 24
  }
  for (let disc = 0; disc < 1600; disc++) {
    const [cx, cy] = [next(360), next(height)]
    for (let y = Math.max(0, Math.floor(cy - 3)); y < Math.min(height, cy + 3); y++) {
      for (let x = Math.max(0, Math.floor(cx - 3)); x < Math.min(360, cx + 3); x++) {
        if (Math.hypot(x + 0.5 - cx, y + 0.5 - cy) < 3) light[y * width + x]! += 0.5
      }
    }
  }
  const pixels = Buffer.alloc(width * height * 3)
  for (let i = 0; i < width * height; i++) {
    const colour = i % width < 360 ? [40, 90, 100] : [119, 119, 119]
    const noise = next(2) - 1
    colour.forEach((v, c) => {
      pixels[3 * i + c] = Math.min(255, Math.round(v * light[i]! ** (1 / 2.2) + noise))
    })
  }
  await sharp(pixels, { raw: { width, height, channels: 3 } })
    .png()
    .toFile(path)
  return path
}

test('grain is measured in millimetres where the scale is known, and not otherwise', async () => {
  const { call, ended, folder } = await taken()
  const files = [{ path: await flakes(join(folder, 'flakes.png')), name: 'flakes.png' }]
  const { items } = await ended((await call('photos.takeIn', { files })).jobId)
  const photoId = items[0]?.photoId ?? ''
  const textureAt = async (mmPerPixel: number | null) =>
    (await call('photos.read', { photoId, layout: { ...layoutFor(null), mmPerPixel }, ...noHelp })).results[0]?.colour
      ?.texture
  const [none, fine, coarse] = [await textureAt(null), await textureAt(0.1), await textureAt(0.2)]
  expect(none).toMatchObject({ grainMm: null, glintsPerCm2: null })
  expect(none?.coarsenessPercent).toBeGreaterThan(1)
  expect(Math.abs((fine?.grainMm ?? 0) - 0.6)).toBeLessThan(0.15)
  expect(Math.abs((coarse?.grainMm ?? 0) - 1.2)).toBeLessThan(0.3)
  expect(fine?.glintsPerCm2).toBeGreaterThanOrEqual(0)
})
