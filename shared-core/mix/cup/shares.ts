import type { Basis, MaterialRef } from '../../records/mixture.ts'
import { add, compare, distance, divide, multiply, type Rational, subtract, sum, thousand, zero } from '../rational.ts'
import { sameMaterial } from './contents.ts'

/** An amount of one material as it is measured: mL or g; dry powder in g, always. */
export type Measured = { material: MaterialRef; powder: boolean; amount: Rational }

/**
 * How much of a cup one material is. `share`: 0 to 1 of the cup in its own basis. `grams-per-litre`: a powder in a cup that
 * is filled by volume, by the litre of everything else.
 */
export type Share = { material: MaterialRef; in: 'share' | 'grams-per-litre'; value: Rational }

/** Shares per material, summed over the places where it stands, in the order of first pouring. */
export function sharesByMaterial(lines: readonly Measured[], by: Basis): Share[] {
  const apart = ({ powder }: Measured): boolean => powder && by === 'volume'
  const whole = sum(lines.filter((line) => !apart(line)).map(({ amount }) => amount))
  const shares: Share[] = []
  for (const line of lines) {
    const kind = apart(line) ? 'grams-per-litre' : 'share'
    const scaled = kind === 'share' ? line.amount : multiply(line.amount, thousand)
    const value = compare(whole, zero) === 0 ? zero : divide(scaled, whole)
    const known = shares.findIndex((each) => each.in === kind && sameMaterial(each.material, line.material))
    const before = shares[known]
    if (before) shares[known] = { ...before, value: add(before.value, value) }
    else shares.push({ material: line.material, in: kind, value })
  }
  return shares
}

/** One material's share in the formula, and what it became. */
export type ShareChange = {
  material: MaterialRef
  in: Share['in']
  exact: Rational
  became: Rational
  /** `became` − `exact`. */
  change: Rational
  /** Change over `exact`: 0.1 is a tenth more than the formula says. */
  relative: Rational
}

export type ShareChanges = {
  all: readonly ShareChange[]
  /** Those whose share is not what the formula says, the most changed (relatively) first. */
  changed: readonly ShareChange[]
  /** Largest change of any share of the cup, without sign; powders by the litre are not among them. */
  largest: Rational
  /** Largest relative change, without sign, powders too. */
  largestRelative: Rational
}

/** What measuring made of a formula. Both lists hold the same materials. */
export function compareShares(formula: readonly Measured[], made: readonly Measured[], by: Basis): ShareChanges {
  const became = sharesByMaterial(made, by)
  const all = sharesByMaterial(formula, by).map((each): ShareChange => {
    const now = became.find((other) => other.in === each.in && sameMaterial(other.material, each.material))
    const value = now?.value ?? zero
    const change = subtract(value, each.value)
    const relative = compare(each.value, zero) === 0 ? zero : divide(change, each.value)
    return { material: each.material, in: each.in, exact: each.value, became: value, change, relative }
  })
  const size = (value: Rational): Rational => distance(value, zero)
  const changed = all
    .filter(({ change }) => compare(change, zero) !== 0)
    .toSorted((a, b) => compare(size(b.relative), size(a.relative)))
  const most = (values: readonly Rational[]): Rational =>
    values.reduce((top, value) => (compare(size(value), top) > 0 ? size(value) : top), zero)
  return {
    all,
    changed,
    largest: most(all.filter((each) => each.in === 'share').map(({ change }) => change)),
    largestRelative: most(all.map(({ relative }) => relative)),
  }
}
