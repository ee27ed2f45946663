import { readFileSync } from 'node:fs'
import { decodePhoto } from '../../../electron/photos/decode.ts'
import { noExposure } from '../../../electron/photos/exposure.ts'
import { factsOf, inspectPhoto } from '../../../electron/photos/inspect.ts'
import { sharp } from '../../../electron/photos/open.ts'
import { calibrateFromPhoto, readPhoto } from '../../../electron/photos/read.ts'
import { fitCamera } from '../../../shared-core/capture/camera/fit.ts'
import { knownCard } from '../../../shared-core/capture/camera/known.ts'
import { learnCamera } from '../../../shared-core/capture/camera/learn.ts'
import { firstBelief } from '../../../shared-core/capture/camera/prior.ts'
import { contrastByShading } from '../../../shared-core/capture/camera/shading.ts'
import { readCard } from '../../../shared-core/capture/card.ts'
import { moveQuad, outlineOf } from '../../../shared-core/capture/geometry.ts'
import { gridOf } from '../../../shared-core/capture/grid.ts'
import { lightOver } from '../../../shared-core/capture/light-map.ts'
import { findPaint } from '../../../shared-core/capture/paint.ts'
import { type LayoutReading, readLayout } from '../../../shared-core/capture/read-layout.ts'
import { quantile } from '../../../shared-core/capture/statistics.ts'
import { surveyOf } from '../../../shared-core/capture/surroundings.ts'
import { noiseOf, textureOf } from '../../../shared-core/capture/texture.ts'
import type { Layout } from '../../../shared-core/records/area.ts'
import type { SetupFit } from '../../../shared-core/records/setup.ts'
import type { Marked } from './marked.ts'

const [layoutsFile = '', ...twins] = process.argv.slice(2)
const { plain, chart } = JSON.parse(readFileSync(layoutsFile, 'utf8')) as Marked
const [file = '', twin = ''] = twins
const repeats = 9

const timed = async (task: () => unknown): Promise<number> => {
  const start = performance.now()
  await task()
  return performance.now() - start
}
const median = (times: number[]) => quantile(times, 0.5)
const decodeAlone = () => sharp(file).raw().toBuffer()

let turn = 0
/** The photo that is read next: never the one that is still in memory. */
const other = () => (++turn % 2 === 0 ? file : twin)

/** Marked anew by a hair, as a hand drags a corner: nothing but the photo can be left from the time before. */
function nudged(layout: Layout): Layout {
  const by = (++turn % 16) / 8
  return {
    ...layout,
    areas: layout.areas.map(({ shape, ...area }) => ({
      ...area,
      shape: shape.kind === 'round' ? shape : { ...shape, quad: moveQuad(shape.quad, by, 0) },
    })),
    card: layout.card && { ...layout.card, quad: moveQuad(layout.card.quad, by, 0) },
  }
}

/** The photo is looked at when it comes in, and decoded and read once it is marked. */
async function fromDrop(layout: Layout, setup: SetupFit | null = null): Promise<LayoutReading> {
  const path = other()
  const { exposure } = await inspectPhoto(path)
  return readPhoto(path, layout, { setup, exposure })
}

const say = (what: string, ms: number, quotient: number) =>
  console.log(`${what.padEnd(46)} ${quotient.toFixed(2).padStart(5)} × ${ms.toFixed(1).padStart(7)} ms`)

/** Each run between two of decode alone; the median of the quotients. */
async function compare(what: string, task: () => unknown): Promise<void> {
  const [quotients, times]: [number[], number[]] = [[], []]
  let before = await timed(decodeAlone)
  for (let i = 0; i < repeats; i++) {
    const ms = await timed(task)
    const after = await timed(decodeAlone)
    times.push(ms)
    quotients.push((2 * ms) / (before + after))
    before = after
  }
  say(what, median(times), median(quotients))
}

const facts = await factsOf(file)
console.log(`${facts.width} × ${facts.height}, times of sharp’s own decode of that file`)
const first = await timed(() => fromDrop(plain))
const firstDecode = median([await timed(decodeAlone), await timed(decodeAlone), await timed(decodeAlone)])
const { results } = await readPhoto(file, plain)
for (const { colour, refused } of results) {
  const lab = colour && [colour.lab.l, colour.lab.a, colour.lab.b].map((v) => v.toFixed(2)).join(' ')
  console.log(lab ? `an area reads ${lab} ± ${colour?.bound90.toFixed(1)}` : `an area is refused: ${refused?.code}`)
}
console.log('\nfrom drop to reading, card and two areas')
say('  first of the process', first, first / firstDecode)
await compare('  later', () => fromDrop(plain))
if (chart) {
  const { fit } = await calibrateFromPhoto(file, chart, noExposure)
  await compare('  with a chart in the picture', () => fromDrop(chart))
  if (fit) await compare('  with a set-up', () => fromDrop(plain, fit))
  else console.log('  the chart taught no set-up')
}
console.log('\nmarked again, the photo in memory')
await readPhoto(file, plain)
await compare('  card and two areas', () => readPhoto(file, nudged(plain)))
if (chart) await compare('  with a chart in the picture', () => readPhoto(file, nudged(chart)))

console.log('\nstage by stage, card and two areas')
await compare('  header', () => factsOf(file))
await compare('  looked at as it comes in, header and all', () => inspectPhoto(file))
await compare('  decoded', () => decodePhoto(file, undefined, facts))
const { pixels, profile } = await decodePhoto(file, undefined, facts)
const survey = surveyOf(pixels, profile)
await compare('  survey', () => surveyOf(pixels, profile))
const { tables } = survey
const outlines = plain.areas.map(({ shape }) => outlineOf(shape))
if (plain.card) outlines.push(plain.card.quad)
const calibration = plain.card && readCard(pixels, tables, profile, plain.card).calibration
if (plain.card && calibration) {
  const { card: layoutCard } = plain
  const cardShape = { kind: 'quad' as const, quad: layoutCard.quad }
  const belief = firstBelief('unknown')
  const prior = { contrast: belief.camera.contrast, deviation: 0.3, power: belief.camera.power }
  const known = [knownCard(calibration.light, layoutCard)]
  const { camera } = fitCamera(known, belief, profile)
  await compare('  card', () => readCard(pixels, tables, profile, layoutCard))
  await compare('  one fit of the camera', () => fitCamera(known, belief, profile))
  await compare('  shading', () => contrastByShading(survey, outlines, pixels.width, prior))
  await compare('  light map', () => lightOver(pixels, camera, { survey, flat: null, outlines }, []))
  await compare('  camera, these three and a second fit', () =>
    learnCamera(pixels, tables, profile, plain, {
      card: calibration,
      tone: 'unknown',
      setup: null,
      survey,
      flat: null,
      outlines,
    }),
  )
  const scale = plain.mmPerPixel ?? null
  const noise = noiseOf(pixels, tables, cardShape, scale)
  await compare('  noise of the card', () => noiseOf(pixels, tables, cardShape, scale))
  await compare('  paint of the areas', () =>
    plain.areas.map(({ shape }) => {
      const grid = gridOf(pixels, tables, shape)
      return grid && findPaint(grid, calibration.light)
    }),
  )
  await compare('  texture of the areas', () =>
    plain.areas.map(({ shape }) => textureOf(pixels, tables, shape, scale, noise)),
  )
  await compare('  camera, card, areas: all after the survey', () => readLayout(pixels, profile, plain, { survey }))
} else console.log('  the card cannot be read: nothing further')
