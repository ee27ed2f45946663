import { Refusal } from '../contract/refusal.ts'
import type { Basis, MaterialRef, Mixture, Part } from '../records/mixture.ts'
import {
  add,
  compare,
  divide,
  fromNumber,
  hundred,
  multiply,
  one,
  type Rational,
  subtract,
  sum,
  thousand,
  toNumber,
  zero,
} from './rational.ts'

/** Kilograms per litre (grams per millilitre) of a material, or null while nobody knows it. */
export type DensityOf = (material: MaterialRef) => number | null

export type Target = {
  basis: Basis
  /** Millilitres or grams, as the basis says. */
  amount: number
  /** `cup`: everything poured. `body`: what percentages on top are counted from (100 mL and 5 % on top fill 105 mL). */
  of: 'cup' | 'body'
}

/** One thing to pour. Volume or mass is null where only a density could tell it. */
export type Ingredient = {
  material: MaterialRef
  /** Names of the mixtures that it stands in, outermost first; the mixture that was asked for is left out. */
  path: string[]
  /** Dry powder by grams per litre: its own volume is not counted. */
  powder: boolean
  volumeMl: number | null
  massG: number | null
  /** 0 to 1 of the cup, in the target's basis; null for a powder in a cup filled by volume. */
  share: number | null
  exact: { volume: Rational | null; mass: Rational | null; share: Rational | null }
}

export type Quantities = {
  /** In pouring order. */
  ingredients: Ingredient[]
  totalVolumeMl: number | null
  totalMassG: number | null
}

/** Working form: amounts in mL and g; a powder's volume is 0 because it is not counted. */
type Poured = {
  material: MaterialRef
  path: string[]
  powder: boolean
  volume: Rational | null
  mass: Rational | null
}

const refuse = (code: string, message: string, remedy: string): never => {
  throw new Refusal(code, message, remedy)
}

const scale = (poured: readonly Poured[], factor: Rational): Poured[] =>
  poured.map((each) => ({
    ...each,
    volume: each.volume && multiply(each.volume, factor),
    mass: each.mass && multiply(each.mass, factor),
  }))

/** Total in one basis. Volumes are taken to add up (ideal mixing). @throws Refusal naming the material without density */
function total(poured: readonly Poured[], basis: Basis): Rational {
  const amounts = poured.map((each) => {
    const amount = basis === 'volume' ? each.volume : each.mass
    if (amount) return amount
    return refuse(
      'mix/no-density',
      `Volume and mass meet in this mixture, and the density of ${each.material.name} is not known.`,
      `Enter the density of ${each.material.name} on the shelf, or give the whole formula by ${each.volume ? 'volume' : 'mass'}.`,
    )
  })
  return sum(amounts)
}

function pourMaterial(material: MaterialRef, amount: Rational, basis: Basis, densityOf: DensityOf): Poured {
  const known = densityOf(material)
  const density = known === null ? null : fromNumber(known)
  return {
    material,
    path: [],
    powder: false,
    volume: basis === 'volume' ? amount : density && divide(amount, density),
    mass: basis === 'mass' ? amount : density && multiply(amount, density),
  }
}

/** One part poured out, so that its total in the basis is `amount`. */
function pourPart(part: Part, amount: Rational, basis: Basis, densityOf: DensityOf): Poured[] {
  if (part.material) return [pourMaterial(part.material, amount, basis, densityOf)]
  if (!part.mixture) return []
  const { name } = part.mixture
  const whole = pour(part.mixture, densityOf).all
  return scale(whole, divide(amount, total(whole, basis))).map((each) => ({ ...each, path: [name, ...each.path] }))
}

/**
 * Fractions of the body (parts and percentages of the total add up to 1), and of the body again for what comes on top.
 * Order of the rule: percentages of the total take their share first, parts divide the rest.
 */
function fractions(mixture: Mixture): Map<Part, Rational> {
  const amounts = mixture.parts.map((part) => ({ part, amount: fromNumber(part.amount) }))
  const of = (unit: Part['unit']): Rational =>
    sum(amounts.filter(({ part }) => part.unit === unit).map(({ amount }) => amount))
  const [parts, percent] = [of('parts'), of('percent-of-total')]
  const rest = subtract(hundred, percent)
  const hasParts = compare(parts, zero) > 0
  if (compare(rest, zero) < 0 || (hasParts && compare(rest, zero) === 0)) {
    refuse(
      'mix/over-100-percent',
      `The percentages of the total add up to ${toNumber(percent)} % and leave nothing for the rest.`,
      'Lower them, or give them on top of the mixture.',
    )
  }
  if (!hasParts && compare(rest, zero) !== 0) {
    refuse(
      'mix/not-100-percent',
      compare(percent, zero) === 0
        ? 'Nothing in this mixture is given in parts: there is nothing that the percentages could be counted from.'
        : `The percentages of the total add up to ${toNumber(percent)} %, and nothing takes the rest.`,
      'Name what makes up the rest, in parts.',
    )
  }
  return new Map(
    amounts.flatMap(({ part, amount }): [Part, Rational][] => {
      if (part.unit === 'parts') return [[part, divide(multiply(amount, divide(rest, hundred)), parts)]]
      if (part.unit === 'grams-per-litre') return []
      return [[part, divide(amount, hundred)]]
    }),
  )
}

/** The mixture with a body of 1 mL or 1 g in its own basis: everything, and the body alone. */
function pour(mixture: Mixture, densityOf: DensityOf): { all: Poured[]; body: Poured[] } {
  const share = fractions(mixture)
  const wet = new Map<Part, Poured[]>()
  for (const [part, fraction] of share) wet.set(part, pourPart(part, fraction, mixture.basis, densityOf))
  const powders = mixture.parts.filter((part) => part.unit === 'grams-per-litre')
  const litres = powders.length > 0 ? divide(total([...wet.values()].flat(), 'volume'), thousand) : zero
  const contents = (part: Part): Poured[] =>
    wet.get(part) ??
    pourPart(part, multiply(fromNumber(part.amount), litres), 'mass', densityOf).map((each) => ({
      ...each,
      powder: true,
      volume: zero,
    }))
  return {
    all: mixture.parts.flatMap(contents),
    body: mixture.parts
      .filter((part) => part.unit === 'parts' || part.unit === 'percent-of-total')
      .flatMap((part) => wet.get(part) ?? []),
  }
}

/**
 * A mixture scaled to a target: what to pour, in order, exactly.
 *
 * Percentages of the total take their share of the body first, parts divide the rest; percentages on top are counted from
 * the body and added to it; grams per litre are counted by the litre of the mixture's other contents and add mass but no
 * volume. A mixture inside a mixture counts as one whole thing, with what was put on top of it. Volumes add up (ideal
 * mixing). Volume and mass are converted only with the densities given.
 *
 * @param target     amount above 0
 * @param densityOf  kg/L; asked for every material
 * @returns          amounts whose sum in the target's basis is the target, exactly (see `exact`)
 * @throws           Refusal `mix/no-density` (with the material's name), `mix/over-100-percent`, `mix/not-100-percent`
 */
export function scaleMixture(mixture: Mixture, target: Target, densityOf: DensityOf = () => null): Quantities {
  const { all, body } = pour(mixture, densityOf)
  const counted = total(target.of === 'cup' ? all : body, target.basis)
  const poured = scale(all, divide(fromNumber(target.amount), counted))
  const cup = total(poured, target.basis)
  return {
    ingredients: poured.map((each) => {
      const amount = target.basis === 'volume' ? each.volume : each.mass
      const share = each.powder && target.basis === 'volume' ? null : amount && divide(amount, cup)
      const volume = each.powder ? null : each.volume
      return {
        material: each.material,
        path: each.path,
        powder: each.powder,
        volumeMl: volume && toNumber(volume),
        massG: each.mass && toNumber(each.mass),
        share: share && toNumber(share),
        exact: { volume, mass: each.mass, share },
      }
    }),
    totalVolumeMl: sumOrNull(poured.map((each) => each.volume)),
    totalMassG: sumOrNull(poured.map((each) => each.mass)),
  }
}

function sumOrNull(amounts: readonly (Rational | null)[]): number | null {
  const known = amounts.filter((amount) => amount !== null)
  return known.length === amounts.length ? toNumber(known.reduce(add, zero)) : null
}

/**
 * Shares of the finished mixture in its own basis, flattened: what a nested ratio comes to (4 : 1 inside 6 : 1 is 4/35,
 * 1/35 and 30/35). @throws Refusal as `scaleMixture`
 */
export function sharesOf(mixture: Mixture, densityOf: DensityOf = () => null): Ingredient[] {
  return scaleMixture(mixture, { basis: mixture.basis, amount: toNumber(one), of: 'cup' }, densityOf).ingredients
}
