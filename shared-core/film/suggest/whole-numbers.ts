import { differenceCiede2000 } from '../../colour/difference.ts'
import type { Lab } from '../../colour/lab.ts'
import { reducedParts } from '../formula.ts'
import { dyeLoad } from '../forward.ts'
import { linearAt } from './loads.ts'
import { labOver, newRoom } from './over-ground.ts'
import { goalAt, type Idea } from './search.ts'

/** Whole numbers that a painter mixes and sprays. */
export type Whole = { parts: number[]; carrierParts: number; coats: number }
/** What whole numbers may be, and what the rest of the cup thins the blend by. */
export type WholeLimits = {
  maxParts: number
  maxCoats: number
  carrierFrom: number
  carrierTo: number
  /** 1 + reducer and hardener as a fraction. */
  thinned: number
}

/**
 * What a formula costs in trouble, in dE00: more candies, ratios that are hard to mark on a cup, many coats. Small against
 * what is seen: it decides between formulas that are as good. Set by judgement.
 */
export function fussOf(parts: readonly number[], coats: number): number {
  const marks = parts.reduce((sum, part) => sum + part, 0) - parts.length
  return 0.12 * Math.max(0, parts.length - 1) + 0.012 * marks + 0.03 * Math.max(0, coats - 2)
}

export const loadOfBlend = (coats: number, carrierParts: number, { thinned }: WholeLimits): number =>
  dyeLoad(coats, 1 / (1 + carrierParts) / thinned)

type Rated = { whole: Whole; rating: number }
const keptByEstimate = 10
const room = newRoom()

/**
 * The whole parts, coats and carrier of an idea. For given coats and carrier the load of the blend is fixed; the best ratio
 * at that load follows from the slopes, and whole parts are looked for beside it; the best few are then worked out in full.
 * @param doubt  dE00 that the colour is uncertain by anyway: it makes small differences matter less
 */
export function wholeNumbers(idea: Idea, target: Lab, limits: WholeLimits, doubt: number): Whole | null {
  const dyes = idea.dyes.map(({ absorbance }) => absorbance)
  const count = dyes.length
  const estimate = linearAt(idea.over, dyes, idea.loads, goalAt(target), room)
  const best: Rated[] = []
  const consider = (parts: readonly number[], coats: number, carrierParts: number, load: number) => {
    let sum = 0
    for (const part of parts) {
      if (part < 1 || part > limits.maxParts) return
      sum += part
    }
    const squared = estimated(estimate, idea.loads, parts, load / sum)
    const last = best.at(-1)
    // cheap first: most ratios fall here
    if (best.length === keptByEstimate && last && Math.sqrt(squared + doubt ** 2) >= last.rating) return
    const reduced = reducedParts(parts)
    const rating = Math.sqrt(squared + doubt ** 2) + fussOf(reduced, coats)
    if (best.length === keptByEstimate && last && rating >= last.rating) return
    const isKnown = best.some(
      ({ whole }) =>
        whole.coats === coats && whole.carrierParts === carrierParts && reduced.every((p, j) => p === whole.parts[j]),
    )
    if (isKnown) return
    best.push({ whole: { parts: reduced, coats, carrierParts }, rating })
    best.sort((a, b) => a.rating - b.rating)
    best.length = Math.min(best.length, keptByEstimate)
  }
  const wanted = new Float64Array(count)
  for (let coats = 1; coats <= limits.maxCoats; coats++) {
    for (let carrierParts = limits.carrierFrom; carrierParts <= limits.carrierTo; carrierParts++) {
      const load = loadOfBlend(coats, carrierParts, limits)
      sharesAt(estimate, idea.loads, load, wanted)
      const last = best.length === keptByEstimate ? best.at(-1) : undefined
      // not even the ideal ratio would do
      if (last && Math.sqrt(estimated(estimate, idea.loads, wanted, load) + doubt ** 2) >= last.rating) continue
      eachWhole(wanted, limits.maxParts, (parts) => consider(parts, coats, carrierParts, load))
    }
  }
  return inFull(best, idea, target, limits, doubt)
}

function inFull(
  best: readonly Rated[],
  { over, dyes }: Idea,
  target: Lab,
  limits: WholeLimits,
  doubt: number,
): Whole | null {
  let found: Whole | null = null
  let lowest = Number.POSITIVE_INFINITY
  const loads = new Float64Array(3)
  const spectra = dyes.map(({ absorbance }) => absorbance)
  for (const { whole } of best) {
    const load = loadOfBlend(whole.coats, whole.carrierParts, limits)
    const sum = whole.parts.reduce((all, part) => all + part, 0)
    whole.parts.forEach((part, j) => {
      loads[j] = (load * part) / sum
    })
    labOver(over, spectra, loads, spectra.length, room, false)
    const de00 = differenceCiede2000(target, { l: room.lab[0]!, a: room.lab[1]!, b: room.lab[2]! })
    const rating = Math.hypot(de00, doubt) + fussOf(whole.parts, whole.coats)
    if (rating < lowest) [lowest, found] = [rating, whole]
  }
  return found
}

type Estimate = { rest: Float64Array; slopes: Float64Array }

/** Squared distance of parts that each have the load `one`, by the slopes at the idea's loads. */
function estimated({ rest, slopes }: Estimate, at: Float64Array, parts: ArrayLike<number>, one: number): number {
  let sum = 0
  for (let c = 0; c < 3; c++) {
    let value = rest[c]!
    for (let j = 0; j < parts.length; j++) value += slopes[3 * c + j]! * (parts[j]! * one - at[j]!)
    sum += value * value
  }
  return sum
}

/** The shares of a blend of a given load that come nearest by the slopes; written into `shares`, above 0, sum 1. */
function sharesAt({ rest, slopes }: Estimate, at: Float64Array, load: number, shares: Float64Array): void {
  const count = shares.length
  if (count === 1) {
    shares[0] = 1
    return
  }
  // the last dye takes what the others leave: one or two unknowns
  const last = count - 1
  const free = [0, 0]
  const column = (c: number, j: number) => slopes[3 * c + j]! - slopes[3 * c + last]!
  let others = 0
  for (let j = 0; j < count; j++) others += at[j]!
  // start with the idea's own ratio at this load
  const origin = (j: number) => (at[j]! / others) * load
  let m00 = 0
  let m01 = 0
  let m11 = 0
  let g0 = 0
  let g1 = 0
  for (let c = 0; c < 3; c++) {
    let value = rest[c]!
    for (let j = 0; j < count; j++) value += slopes[3 * c + j]! * (origin(j) - at[j]!)
    const s0 = column(c, 0)
    m00 += s0 * s0
    g0 += s0 * value
    if (count === 2) continue
    const s1 = column(c, 1)
    m01 += s0 * s1
    m11 += s1 * s1
    g1 += s1 * value
  }
  m00 *= 1 + 1e-6
  m11 *= 1 + 1e-6
  if (count === 2) free[0] = m00 > 0 ? -g0 / m00 : 0
  else {
    const det = m00 * m11 - m01 * m01
    if (det > 1e-12 * m00 * m11) {
      free[0] = -(g0 * m11 - g1 * m01) / det
      free[1] = -(g1 * m00 - g0 * m01) / det
    }
  }
  let sum = 0
  for (let j = 0; j < count; j++) {
    const moved = j < last ? free[j]! : -(free[0]! + (count > 2 ? free[1]! : 0))
    shares[j] = Math.max(origin(j) + moved, 1e-3 * load)
    sum += shares[j]!
  }
  for (let j = 0; j < count; j++) shares[j]! /= sum
}

const parts = [0, 0, 0]
/** Whole parts beside a ratio: for every sum of parts, each dye's part rounded down and up. */
function eachWhole(shares: Float64Array, maxParts: number, each: (parts: readonly number[]) => void): void {
  const count = shares.length
  parts.length = count
  if (count === 1) {
    parts[0] = 1
    each(parts)
    return
  }
  let largest = 0
  for (let j = 0; j < count; j++) largest = Math.max(largest, shares[j]!)
  const mostSum = Math.min(count * maxParts, Math.floor((maxParts + 1) / largest))
  for (let sum = count; sum <= mostSum; sum++) {
    for (let corner = 0; corner < 1 << (count - 1); corner++) {
      let left = sum
      for (let j = 0; j < count - 1; j++) {
        const part = Math.floor(shares[j]! * sum) + ((corner >> j) & 1)
        parts[j] = part
        left -= part
      }
      parts[count - 1] = left
      each(parts)
    }
  }
}
