import type { Lab } from '../../colour/lab.ts'
import type { FilmFit } from '../fitted.ts'
import type { FilmFormula } from '../formula.ts'
import { stateOf } from '../predict.ts'
import { labOver, newRoom, type OverGround, overGround } from '../suggest/over-ground.ts'
import { loadOfBlend } from '../suggest/whole-numbers.ts'
import type { SuggestOptions } from '../suggest.ts'

/** A formula that could be sprayed, and its colour. */
export type Sample = { formula: FilmFormula; coats: number; lab: Lab }

const ratios = [
  [1, 1],
  [1, 3],
  [3, 1],
] as const
/** Of a rack with more materials every second blend is taken, or every third, and so on. */
const mostBlends = 12_000

/** Formulas all over what the materials reach: every candy and pair over every ground, at several coats. */
export function samplesOf(fit: FilmFit, options: SuggestOptions): Sample[] {
  const state = stateOf(fit)
  const { reducerPercent, hardenerPercent, gun, carrierFrom, carrierTo, maxCoats, maxParts } = options
  const carriers = [...new Set([carrierFrom, Math.round((carrierFrom + Math.max(carrierFrom, carrierTo)) / 2)])]
  const thinned = 1 + (reducerPercent + hardenerPercent) / 100
  const coats = [...new Set([1, 2, 3, 4, Math.round(maxCoats / 2), maxCoats])].filter((count) => count <= maxCoats)
  const dyes = [...fit.absorbance].filter(([id]) => options.candies === null || options.candies.includes(id))
  const grounds = [...fit.grounds.keys()].filter((id) => options.grounds === null || options.grounds.includes(id))
  const room = newRoom()
  const samples: Sample[] = []
  const loads = new Float64Array(3)
  const add = (over: OverGround, which: readonly number[], parts: readonly number[], carrierParts: number) => {
    const sum = parts.reduce((all, part) => all + part, 0)
    const spectra = which.map((i) => dyes[i]![1])
    const formula: FilmFormula = {
      ...over.on,
      candies: which.map((i, j) => ({ id: dyes[i]![0], parts: parts[j]! })),
      carrierParts,
      reducerPercent,
      hardenerPercent,
    }
    for (const count of coats) {
      const blend = loadOfBlend(count, carrierParts, { ...options, thinned })
      for (let j = 0; j < parts.length; j++) loads[j] = (blend * parts[j]!) / sum
      labOver(over, spectra, loads, spectra.length, room, false)
      samples.push({ formula, coats: count, lab: { l: room.lab[0]!, a: room.lab[1]!, b: room.lab[2]! } })
    }
  }
  const overs = grounds.flatMap(
    (ground) => overGround(state, { ground, under: null, over: null, gun, finish: 'cleared' }) ?? [],
  )
  const mixed = options.maxCandies > 1 ? ratios.filter((ratio) => Math.max(...ratio) <= maxParts) : []
  const blends = overs.flatMap((over) =>
    dyes.flatMap((_a, i) =>
      dyes.slice(i + 1).flatMap((_b, j) => mixed.map((ratio) => ({ over, which: [i, i + 1 + j], ratio }))),
    ),
  )
  const stride = Math.max(1, Math.ceil((blends.length * coats.length) / mostBlends))
  for (const over of overs)
    for (let i = 0; i < dyes.length; i++) for (const carrierParts of carriers) add(over, [i], [1], carrierParts)
  for (let k = 0; k < blends.length; k += stride) {
    const { over, which, ratio } = blends[k]!
    add(over, which, ratio, carriers[0]!)
  }
  return samples
}
