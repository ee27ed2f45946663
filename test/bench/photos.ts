import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { decodePhoto } from '../../electron/photos/decode.ts'
import { noExposure } from '../../electron/photos/exposure.ts'
import { readPhoto } from '../../electron/photos/read.ts'
import { chartColours, patchQuad } from '../../shared-core/capture/camera/chart.ts'
import { fitCamera, type Known, labOf } from '../../shared-core/capture/camera/fit.ts'
import { readPlace } from '../../shared-core/capture/camera/known.ts'
import { firstBelief } from '../../shared-core/capture/camera/prior.ts'
import { middleOf, moveQuad } from '../../shared-core/capture/geometry.ts'
import { readLayout } from '../../shared-core/capture/read-layout.ts'
import { numbersToKeep } from '../../shared-core/capture/setup.ts'
import { quantile } from '../../shared-core/capture/statistics.ts'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import type { Lab } from '../../shared-core/colour/lab.ts'
import { decodeTable } from '../../shared-core/colour/profile.ts'
import type { Layout, Quad } from '../../shared-core/records/area.ts'
import type { SetupFit } from '../../shared-core/records/setup.ts'

export type Photo = { file: string; quad?: Quad; window: number; reference_applies: boolean }
export type ChartPhoto = Photo & { quad: Quad }
export type PatchReading = { file: string; patch: number; lab: Lab; bound90: number; de00: number }

const patches = Array.from({ length: 24 }, (_, i) => i + 1)
const cardPatch = 22
const reference = chartColours('avg30')

/** `index.json` puts pixel centres at whole numbers; here the corner of the first pixel is (0, 0). */
export const windowOf = ({ quad, window }: ChartPhoto, patch: number) =>
  patchQuad(moveQuad(quad, 0.5, 0.5), patch, window)

/** All 24 patches as areas, patch 22 as the card. */
export function chartLayout(photo: ChartPhoto): Layout {
  const areas = patches.map((patch) => ({
    stepId: null,
    shape: { kind: 'quad' as const, quad: windowOf(photo, patch) },
  }))
  return { areas, card: { quad: windowOf(photo, cardPatch), lab: reference[cardPatch - 1]! } }
}

/**
 * `photos DIR [a:b …] [OUT.json]`: the charts of DIR/index.json against the mean of 30 measured charts, read by card only.
 * For each pair of names (their beginnings are enough) also by halves: with a:a one half of the chart is fitted and the
 * other read; with a:b a set-up is learnt from one half in a and the other half read in b by its card, and the other way
 * round; and how far the same patches, read by card only, differ between a and b. Halves are the patches of even and of odd
 * row + column, both ways, pooled.
 */
export async function run(args: string[]): Promise<void> {
  const [folder, ...rest] = args
  if (!folder) throw new Error('usage: bench -- photos DIR [a:b …] [OUT.json]')
  const pairs = rest.filter((arg) => /^[^/]+:[^/]+$/.test(arg)).map((arg) => arg.split(':') as [string, string])
  const out = rest.find((arg) => arg.endsWith('.json'))
  const { photos } = JSON.parse(readFileSync(join(folder, 'index.json'), 'utf8')) as { photos: Photo[] }
  const charts = photos.filter((photo): photo is ChartPhoto => photo.quad !== undefined)
  const named = (name: string) => {
    const found = charts.find(({ file }) => file.startsWith(name))
    if (!found) throw new Error(`No photo of a chart in ${folder} is called ${name}.`)
    return found
  }
  const card: PatchReading[] = []
  const medians: number[] = []
  for (const photo of charts.filter((p) => p.reference_applies)) {
    const { readings, said } = await readByCard(folder, photo)
    card.push(...readings)
    medians.push(medianOf(readings))
    console.log(`${photo.file.padEnd(30)} ${figures(readings)} ${said}`)
  }
  console.log(`${'card only, all'.padEnd(30)} ${figures(card)}`)
  console.log(`${'card only, median of medians'.padEnd(30)} ${quantile(medians, 0.5).toFixed(2)}`)
  const halves: Record<string, PatchReading[]> = {}
  const repeats: Record<string, number[]> = {}
  for (const [a, b] of pairs) {
    const [one, other] = [named(a), named(b)]
    if (one.reference_applies && other.reference_applies) {
      const readings = await readHalves(folder, one, other)
      halves[`${a}:${b}`] = readings
      console.log(`${`halves ${a}:${b}`.padEnd(30)} ${figures(readings)}`)
    }
    if (one !== other) {
      const apart = await readTwice(folder, one, other)
      repeats[`${a}:${b}`] = apart
      console.log(
        `${`same patches ${a}:${b}`.padEnd(30)} n ${apart.length} median ${quantile(apart, 0.5).toFixed(2)} p90 ${quantile(apart, 0.9).toFixed(2)}`,
      )
    }
  }
  const within = pairs.filter(([a, b]) => a === b).flatMap(([a, b]) => halves[`${a}:${b}`] ?? [])
  if (within.length > 0) {
    const each = pairs.filter(([a, b]) => a === b).map(([a, b]) => medianOf(halves[`${a}:${b}`] ?? []))
    console.log(`${'halves of one, median of them'.padEnd(30)} ${quantile(each, 0.5).toFixed(2)}`)
  }
  if (out) writeFileSync(out, `${JSON.stringify({ card, medians, halves, repeats }, null, 1)}\n`)
}

export async function readByCard(folder: string, photo: ChartPhoto) {
  const { results, photo: cautions } = await readPhoto(join(folder, photo.file), chartLayout(photo))
  const readings = results.flatMap(({ colour }, i) =>
    colour && i + 1 !== cardPatch ? [asReading(photo, i + 1, colour.lab, colour.bound90)] : [],
  )
  const refused = results.flatMap(({ refused: why }, i) => (why ? [`${i + 1}: ${why.code}`] : []))
  return { readings, said: [...cautions.map(({ code }) => code), ...refused].join(' ') }
}

function asReading({ file }: ChartPhoto, patch: number, lab: Lab, bound90: number): PatchReading {
  return { file, patch, lab, bound90, de00: differenceCiede2000(lab, reference[patch - 1]!) }
}

const inHalf = (patch: number, half: number) => (Math.floor((patch - 1) / 6) + ((patch - 1) % 6)) % 2 === half

export async function readHalves(folder: string, one: ChartPhoto, other: ChartPhoto): Promise<PatchReading[]> {
  const ways = one === other ? [[one, one] as const] : [[one, other] as const, [other, one] as const]
  const readings: PatchReading[] = []
  for (const [from, to] of ways) for (const half of [0, 1]) readings.push(...(await readHalf(folder, from, to, half)))
  return readings
}

async function readHalf(folder: string, from: ChartPhoto, to: ChartPhoto, half: number): Promise<PatchReading[]> {
  const { pixels, profile } = await decodePhoto(join(folder, from.file))
  const tables = decodeTable(profile, pixels.bits)
  const known = patches.flatMap((patch): Known[] => {
    const light = inHalf(patch, half) ? readPlace(pixels, tables, windowOf(from, patch)) : null
    return light
      ? [{ light, lab: reference[patch - 1]!, deviation: [1, 1, 1], place: middleOf(windowOf(from, patch)) }]
      : []
  })
  const fit = fitCamera(known, firstBelief('unknown'), profile)
  if (from === to)
    return patches.flatMap((patch) => {
      const light = inHalf(patch, half) ? null : readPlace(pixels, tables, windowOf(from, patch))
      return light ? [asReading(to, patch, labOf(light, fit.camera, profile), Number.NaN)] : []
    })
  const setup: SetupFit = {
    version: 1,
    profile: profile.name,
    ...numbersToKeep(fit),
    residual: { median: 0, p90: 0, patches: known.length },
    card: [0, 0, 0],
    exposure: noExposure,
  }
  const target = await decodePhoto(join(folder, to.file))
  const { results } = readLayout(target.pixels, target.profile, chartLayout(to), { setup })
  return results.flatMap(({ colour }, i) =>
    colour && !inHalf(i + 1, half) && i + 1 !== cardPatch ? [asReading(to, i + 1, colour.lab, colour.bound90)] : [],
  )
}

export async function readTwice(folder: string, one: ChartPhoto, other: ChartPhoto): Promise<number[]> {
  const [a, b] = [await readByCard(folder, one), await readByCard(folder, other)]
  return a.readings.flatMap(({ patch, lab }) => {
    const again = b.readings.find((reading) => reading.patch === patch)
    return again ? [differenceCiede2000(lab, again.lab)] : []
  })
}

const medianOf = (readings: PatchReading[]) =>
  quantile(
    readings.map((r) => r.de00),
    0.5,
  )

function figures(readings: PatchReading[]): string {
  const errors = readings.map((r) => r.de00)
  const [median, p90] = [quantile(errors, 0.5), quantile(errors, 0.9)].map((v) => v.toFixed(2))
  const bounds = readings.map((r) => r.bound90).filter(Number.isFinite)
  if (bounds.length < readings.length) return `n ${errors.length} median ${median} p90 ${p90}`
  const held = readings.filter((r) => r.de00 <= r.bound90).length / Math.max(1, readings.length)
  return `n ${errors.length} median ${median} p90 ${p90} holds ${held.toFixed(3)} bound ${quantile(bounds, 0.5).toFixed(2)}`
}
