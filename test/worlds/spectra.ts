import { existsSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import type { Random } from '../../electron/service/demonstration/random.ts'
import type { Sampling } from '../../shared-core/colour/spectrum.ts'

/** The wavelengths of every spectrum of a simulated world. */
export const sampling: Sampling = { startNm: 380, stepNm: 5, count: 71 }

/** One value per wavelength of `sampling`. */
export type Values = readonly number[]

export type Metals = {
  silver: readonly Values[]
  gold: readonly Values[]
  copper: readonly Values[]
  grey: readonly Values[]
}

/** What paints are made of. Absorbances have their strongest peak (400 to 700 nm) near 1. */
export type Stuff = {
  from: 'open data' | 'invented'
  dyes: (random: Random, count: number) => Values[]
  metals: Metals
}

export const spectrumOf = (value: (nm: number, i: number) => number): number[] =>
  Array.from({ length: sampling.count }, (_, i) => value(sampling.startNm + i * sampling.stepNm, i))

/** 0 far below `middle`, 1 far above it. */
export const edge = (nm: number, middle: number, width: number): number => 1 / (1 + Math.exp(-(nm - middle) / width))

const file = fileURLToPath(new URL('../../../shared/data/dyes-and-metals.json', import.meta.url))

let loaded: Stuff | null = null

/**
 * Absorbance shapes of real dyes and reflectances of metals in a clear of index 1.5 where the open data lie beside the
 * project (the file names its sources and licences), invented ones otherwise.
 */
export function stuff(): Stuff {
  loaded ??= existsSync(file) ? measured() : invented
  return loaded
}

function measured(): Stuff {
  const data = JSON.parse(readFileSync(file, 'utf8')) as {
    dyes: { id: string; a: number[] }[]
    metals: { id: string; r: number[] }[]
  }
  // what hardly absorbs in the visible, or the same everywhere, is no candy
  const dyes = data.dyes.map(({ a }) => a.map((value) => Math.max(0, value))).filter(isColoured)
  const metals = (kind: RegExp) => data.metals.filter(({ id }) => kind.test(id)).map(({ r }) => r)
  return {
    from: 'open data',
    dyes: (random, count) => pickSome(random, dyes, count),
    metals: {
      silver: metals(/^(al|ag)-/),
      gold: metals(/^(au|auag|cuzn)-/),
      copper: metals(/^cu-/),
      grey: metals(/^(ss|cr|ti)-/),
    },
  }
}

function isColoured(absorbance: Values): boolean {
  const visible = absorbance.slice(6, 61)
  return Math.max(...visible) > 0.8 && Math.min(...visible) < 0.12
}

/** Different ones, in random order. */
export function pickSome<T>(random: Random, from: readonly T[], count: number): T[] {
  const left = [...from]
  return Array.from({ length: count }, () => {
    const [one] = left.splice(random.whole(0, left.length - 1), 1)
    if (one === undefined) throw new RangeError(`There are not ${count} to pick from.`)
    return one
  })
}

/** One to three bands, each steeper on its long side as dyes have them, with tails that fall off exponentially; invented. */
function inventedDye(random: Random, middleNm: number): Values {
  const bands = Array.from({ length: random.whole(1, 3) }, (_, i) => ({
    at: i === 0 ? middleNm : middleNm + random.between(-140, 140),
    short: random.between(25, 60),
    long: random.between(15, 40),
    height: i === 0 ? 1 : random.between(0.05, 0.6),
  }))
  return spectrumOf((nm) =>
    bands.reduce(
      (sum, { at, short, long, height }) => sum + height / Math.cosh((1.6 * (nm - at)) / (nm < at ? short : long)),
      0,
    ),
  )
}

export const invented: Stuff = {
  from: 'invented',
  dyes: (random, count) =>
    pickSome(
      random,
      Array.from({ length: Math.max(count, 8) }, (_, i) => 410 + (270 * i) / Math.max(count, 8)),
      count,
    ).map((nm) => inventedDye(random, nm + random.between(-12, 12))),
  metals: {
    silver: [spectrumOf(() => 0.88), spectrumOf((nm) => 0.94 + 0.05 * edge(nm, 450, 40))],
    gold: [spectrumOf((nm) => 0.3 + 0.62 * edge(nm, 520, 18)), spectrumOf((nm) => 0.3 + 0.5 * edge(nm, 500, 25))],
    copper: [spectrumOf((nm) => 0.38 + 0.54 * edge(nm, 575, 14))],
    grey: [spectrumOf((nm) => 0.46 + 0.1 * edge(nm, 550, 90)), spectrumOf(() => 0.56)],
  },
}
