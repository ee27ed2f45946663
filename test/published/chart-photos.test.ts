/**
 * Set-ups, charts and their refusals on open photos of 24-patch charts.
 * Photos: r01, r02, C. Wakholi, colour-correction package (2025), MIT; r06, r10, r11, Donald Danforth Plant Science Center,
 * MIT and CC BY 4.0. Reference: mean of 30 measured charts, D. Pascale 2012. The photos lie beside the project; without them
 * this file is skipped. Differences by colorjs.io.
 */
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import Color from 'colorjs.io'
import { describe, expect, it } from 'vitest'
import { noExposure } from '../../electron/photos/exposure.ts'
import { calibrateFromPhoto, readPhoto } from '../../electron/photos/read.ts'
import { moveQuad } from '../../shared-core/capture/geometry.ts'
import { words } from '../../shared-core/capture/words.ts'
import type { Layout, Quad } from '../../shared-core/records/area.ts'
import { type ChartPhoto, chartLayout, type PatchReading, readByCard, readHalves } from '../bench/photos.ts'

const folder = fileURLToPath(new URL('../../../shared/photos', import.meta.url))
const present = existsSync(join(folder, 'index.json')) && existsSync(join(folder, 'chart24.json'))
if (!present) console.warn('chart photos are not beside the project: chart-photos is skipped')

type Triple = [number, number, number]
const json = (name: string) => JSON.parse(readFileSync(join(folder, name), 'utf8')) as unknown
const quantile = (values: number[], q: number) => {
  const sorted = values.toSorted((a, b) => a - b)
  const at = q * (sorted.length - 1)
  const low = sorted[Math.floor(at)]!
  return low + (sorted[Math.ceil(at)]! - low) * (at % 1)
}

describe.runIf(present)('open photos of charts', () => {
  if (!present) return
  const { photos } = json('index.json') as { photos: ChartPhoto[] }
  const named = (name: string) => photos.find(({ file }) => file.startsWith(name))!
  const reference = (json('chart24.json') as { labD50: { avg30: Triple[] } }).labD50.avg30
  const [r01, r02] = [named('r01_studio'), named('r02')]
  const pathOf = ({ file }: ChartPhoto) => join(folder, file)
  // pixel centres at whole numbers in the list of photos, at halves in the application
  const outline = ({ quad }: ChartPhoto): Quad => moveQuad(quad, 0.5, 0.5)
  const withChart = (quad: Quad, more: Partial<Layout> = {}): Layout => ({
    areas: [],
    card: null,
    chart: { quad, table: 'avg30' },
    ...more,
  })
  const colourOf = ({ l, a, b }: PatchReading['lab']) => new Color('lab', [l, a, b])
  const errorsOf = (readings: PatchReading[]) =>
    readings.map(({ lab, patch }) => colourOf(lab).deltaE(new Color('lab', reference[patch - 1]!), '2000'))

  it('a set-up learnt from one half of the patches reads the other half of another photo by its card', async () => {
    const readings = await readHalves(folder, r01, r02)
    // 23 patches (the card is not counted), in both photos
    expect(readings.length).toBe(46)
    const errors = errorsOf(readings)
    expect(quantile(errors, 0.5)).toBeLessThanOrEqual(2.3)
    expect(quantile(errors, 0.9)).toBeLessThanOrEqual(3.8)
    const { readings: byCard } = await readByCard(folder, r01)
    expect(quantile(errors, 0.5)).toBeLessThan(quantile(errorsOf(byCard), 0.5))
    // stated bounds hold for about nine in ten
    const held = readings.filter(({ bound90 }, i) => errors[i]! <= bound90).length / readings.length
    expect(held).toBeGreaterThan(0.8)
  })

  it('one half of a chart reads the other half of the same photo', async () => {
    const readings = await readHalves(folder, r01, r01)
    expect(readings.length).toBe(24)
    expect(quantile(errorsOf(readings), 0.5)).toBeLessThanOrEqual(1.9)
  })

  it('the same patches in two photos of one phone, by card only, are alike', async () => {
    const [a, b] = [await readByCard(folder, named('r10')), await readByCard(folder, named('r11'))]
    const apart = a.readings.flatMap(({ patch, lab }) => {
      const again = b.readings.find((other) => other.patch === patch)
      return again ? [colourOf(lab).deltaE(colourOf(again.lab), '2000')] : []
    })
    expect(apart.length).toBeGreaterThanOrEqual(20)
    expect(quantile(apart, 0.5)).toBeLessThanOrEqual(1)
    expect(quantile(apart, 0.9)).toBeLessThanOrEqual(2)
  })

  it('an overexposed photo is told, and its white patch is not read', async () => {
    const { results, photo } = await readPhoto(pathOf(named('r06')), chartLayout(named('r06')))
    expect(photo.map(({ code }) => code)).toContain('photo/overexposed')
    expect(results[18]?.refused?.code).toBe('photo/overexposed')
    const well = await readPhoto(pathOf(r01), chartLayout(r01))
    expect(well.photo.map(({ code }) => code)).not.toContain('photo/overexposed')
    expect(well.results.every(({ refused }) => refused === null)).toBe(true)
  })

  it('a chart calibrates a set-up; started at a wrong corner, it is said to be turned', async () => {
    const [a, b, c, d] = outline(r01)
    const right = await calibrateFromPhoto(pathOf(r01), withChart([a, b, c, d]), noExposure)
    expect(right.refused).toBeNull()
    expect(right.fit?.residual.patches).toBe(24)
    expect(right.fit?.residual.median).toBeLessThan(3.5)
    for (const turned of [
      [b, c, d, a],
      [c, d, a, b],
      [d, a, b, c],
    ] as Quad[]) {
      const { refused, fit } = await calibrateFromPhoto(pathOf(r01), withChart(turned), noExposure)
      expect(refused).toBe(words.chartTurned)
      expect(fit).toBeNull()
    }
  })

  it('an outline on bare background is no chart: no set-up, and a reading does without it', async () => {
    const chart = outline(r02)
    // below the chart, where nothing lies but the bench; and over the chart by half of it
    const [[x0, y0], [x1], [, y2]] = chart
    const below: Quad = moveQuad(chart, 0, 1.25 * (y2 - y0))
    const beside: Quad = moveQuad(chart, -0.5 * (x1 - x0), 0)
    for (const quad of [below, beside]) {
      expect(await calibrateFromPhoto(pathOf(r02), withChart(quad), noExposure)).toMatchObject({
        fit: null,
        refused: words.chartUnreadable,
      })
      const layout = { ...chartLayout(r02), chart: { quad, table: 'avg30' as const } }
      const { results, photo } = await readPhoto(pathOf(r02), layout)
      expect(photo).toContain(words.chartMisplaced)
      expect(results[0]?.colour?.level).toBe('card')
    }
  })

  it('the card is checked by the chart, and found wrong when another Lab is entered for it', async () => {
    const layout = { ...chartLayout(r01), chart: { quad: outline(r01), table: 'avg30' as const } }
    const read = await readPhoto(pathOf(r01), layout)
    expect(read.cardCheck).toBe('agrees')
    expect(read.results[0]?.colour?.level).toBe('chart')
    const { quad, lab } = layout.card!
    for (const dl of [-12, 12]) {
      const wrong = await readPhoto(pathOf(r01), { ...layout, card: { quad, lab: { ...lab, l: lab.l + dl } } })
      expect(wrong.cardCheck).toBe('disagrees')
      expect(wrong.photo.map(({ code }) => code)).toContain('photo/card-disagrees')
    }
    // without the chart nothing says so
    expect((await readPhoto(pathOf(r01), chartLayout(r01))).cardCheck).toBe('not-checked')
  })
})
