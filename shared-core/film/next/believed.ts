import type { FilmFit } from '../fitted.ts'
import { candyBasis, groundBasis, groundSpread } from '../priors.ts'
import type { GroundKind } from '../recipe.ts'
import { unpack } from '../unknowns.ts'

/**
 * A fit that also holds candies and grounds that nobody has read, as they are believed before: a panel of a new candy
 * teaches most, and can be planned like any other. What it predicts of them is worth nothing; their doubt says so.
 */
export function withBelieved(
  fit: FilmFit,
  candies: readonly string[],
  grounds: readonly { id: string; kind: GroundKind }[],
): FilmFit {
  const newCandies = candies.filter((id) => !fit.layout.candies.has(id))
  const newGrounds = grounds.filter(({ id }) => !fit.layout.grounds.has(id))
  if (newCandies.length + newGrounds.length === 0) return fit
  const before = Math.round(Math.sqrt(fit.covariance.length))
  const [ofCandies, ofGrounds, ofTraps] = [
    new Map(fit.layout.candies),
    new Map(fit.layout.grounds),
    new Map(fit.layout.traps),
  ]
  let count = before
  const place = (columns: Map<string, number>, id: string, each: number) => {
    columns.set(id, count)
    count += each
  }
  for (const id of newCandies) place(ofCandies, id, candyBasis.count)
  for (const { id } of newGrounds) {
    place(ofGrounds, id, groundBasis(1).count)
    place(ofTraps, id, 1)
  }
  const covariance = new Float64Array(count * count)
  for (let i = 0; i < before; i++) covariance.set(fit.covariance.subarray(i * before, (i + 1) * before), i * count)
  for (let i = before; i < count; i++) covariance[i * count + i] = 1
  const unknowns = new Float64Array(count)
  unknowns.set(fit.unknowns)
  const layout = { ...fit.layout, candies: ofCandies, grounds: ofGrounds, traps: ofTraps }
  const beliefs = new Map(fit.beliefs)
  for (const { id, kind } of newGrounds) beliefs.set(id, { spread: groundSpread(null), kind })
  const state = unpack(unknowns, layout, fit.usualGun, beliefs)
  return {
    ...fit,
    absorbance: new Map([...state.candies].map(([id, { absorbance }]) => [id, absorbance])),
    grounds: new Map([...state.grounds].map(([id, { reflectance, trapped }]) => [id, { reflectance, trapped }])),
    unknowns,
    covariance,
    layout,
    beliefs,
  }
}
