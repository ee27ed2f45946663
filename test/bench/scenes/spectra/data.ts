import { existsSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import type { Sampling } from '../../../../shared-core/colour/spectrum.ts'

/** The wavelengths of every spectrum here: what the two open data sets have in common. */
export const sampling: Sampling = { startNm: 380, stepNm: 5, count: 71 }

/** One value per wavelength of `sampling`. */
export type Values = readonly number[]

export type SceneData = {
  /** Relative spectral power, by name. */
  lights: ReadonlyMap<string, Values>
  /** Measured sensitivities: red, green, blue for each wavelength. */
  cameras: readonly (readonly (readonly [number, number, number])[])[]
  /** Mean reflectance of the 24 patches of thirty charts. */
  chart: readonly Values[]
  /** Absorbances, the peak scaled to 1. */
  dyes: readonly Values[]
  /** Reflectances in a clear of index 1.5, by kind of metal. */
  metals: readonly { id: string; reflectance: Values }[]
  /** Lab (D50, 2°) of the 24 patches, mean of thirty measured charts. */
  chartLab: readonly (readonly [number, number, number])[]
}

const shared = new URL('../../../../../shared/', import.meta.url)
const needed = ['data/lights-and-cameras.json', 'data/dyes-and-metals.json', 'photos/chart24.json']

let loaded: SceneData | null = null

/**
 * Open spectra beside the project; each file names its sources and licences.
 * @throws Error that names what is absent
 */
export function sceneData(): SceneData {
  if (loaded) return loaded
  const absent = needed.filter((name) => !existsSync(fileURLToPath(new URL(name, shared))))
  if (absent.length > 0) throw new Error(`Scenes need open data beside the project: ${absent.join(', ')} not found.`)
  const [lightsAndCameras, dyesAndMetals, chart24] = needed.map((name) =>
    JSON.parse(readFileSync(new URL(name, shared), 'utf8')),
  ) as [
    {
      illuminants: Record<string, number[]>
      chart24: number[][]
      cameras: [number, number, number][][]
    },
    { dyes: { a: number[] }[]; metals: { id: string; r: number[] }[] },
    { labD50: { avg30: [number, number, number][] } },
  ]
  const cut = <T>(values: readonly T[]): T[] => values.slice(0, sampling.count)
  loaded = {
    lights: new Map(Object.entries(lightsAndCameras.illuminants).map(([name, values]) => [name, cut(values)])),
    cameras: lightsAndCameras.cameras.map((rows) => cut(rows)),
    chart: lightsAndCameras.chart24.map((values) => cut(values)),
    dyes: dyesAndMetals.dyes.map(({ a }) => a),
    metals: dyesAndMetals.metals.map(({ id, r }) => ({ id, reflectance: r })),
    chartLab: chart24.labD50.avg30,
  }
  return loaded
}

export const wavelengthNm = (i: number): number => sampling.startNm + i * sampling.stepNm

/** A value for each wavelength. */
export const spectrumOf = (value: (nm: number, i: number) => number): number[] =>
  Array.from({ length: sampling.count }, (_, i) => value(wavelengthNm(i), i))

/** A table's value at a place between its wavelengths; beyond the ends the last one. */
export function valueAt(values: Values, nm: number): number {
  const t = Math.min(sampling.count - 1, Math.max(0, (nm - sampling.startNm) / sampling.stepNm))
  const i = Math.min(sampling.count - 2, Math.floor(t))
  return values[i]! + (t - i) * (values[i + 1]! - values[i]!)
}
