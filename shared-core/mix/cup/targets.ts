import { Refusal } from '../../contract/refusal.ts'
import type { Basis, MaterialRef, Mixture } from '../../records/mixture.ts'
import { type DensityOf, scaleMixture } from '../quantities.ts'
import { compare, divide, fromNumber, multiply, type Rational, zero } from '../rational.ts'
import { type CupContents, contentsOf, sameMaterial, scaleCup, sumKnown } from './contents.ts'

export type Amount = number | Rational

/** How much to mix. Volumes in mL, masses in g. A surface comes down to a volume: see `surface/spray-need.ts`. */
export type MixTarget =
  /** `body`: what percentages on top are counted from; left out, everything poured. */
  | { kind: 'amount'; basis: Basis; amount: Amount; of?: 'cup' | 'body' }
  /** The cup that uses up what is left of one ingredient. */
  | { kind: 'use-up'; material: MaterialRef; amount: Amount; basis: Basis }
  /** So many cups, each filled to `fill` (0 to 1) of what it holds to the brim. */
  | { kind: 'cups'; count: Amount; cupMl: Amount; fill: Amount }

/** What is on hand of one material. */
export type OnHand = { material: MaterialRef; basis: Basis; amount: Amount }

const exactly = (amount: Amount): Rational => (typeof amount === 'number' ? fromNumber(amount) : amount)

/** @throws Refusal `mix/no-amount` when it is not above 0 */
function above0(amount: Amount, what: string): Rational {
  const exact = exactly(amount)
  if (compare(exact, zero) > 0) return exact
  throw new Refusal('mix/no-amount', `There is nothing to mix: ${what} is 0 or less.`, 'Enter an amount above 0.')
}

/** What a cup holds of one material, wherever it stands in the mixture. */
export function amountOf(cup: CupContents, material: MaterialRef, basis: Basis): Rational {
  const found = cup.contents.filter((each) => sameMaterial(each.material, material))
  if (found.length === 0) {
    throw new Refusal(
      'mix/not-in-mixture',
      `${material.name} does not stand in this formula.`,
      'Choose an ingredient of the formula.',
    )
  }
  const amount = sumKnown(found.map((each) => (basis === 'volume' ? each.volumeMl : each.massG)))
  if (amount) return amount
  if (basis === 'volume' && found.some(({ powder }) => powder)) {
    throw new Refusal(
      'mix/powder-by-volume',
      `${material.name} is a dry powder: it is counted in grams, not by volume.`,
      'Enter how many grams of it are left.',
    )
  }
  throw new Refusal(
    'mix/no-density',
    `The density of ${material.name} is not known, so its ${basis === 'volume' ? 'volume' : 'mass'} is not known either.`,
    `Enter the density of ${material.name} on the shelf, or give the amount by ${basis === 'volume' ? 'mass' : 'volume'}.`,
  )
}

/**
 * A mixture in the size that was asked for.
 * @param densityOf  kg/L at 20 °C; asked for every material, never assumed
 * @returns          exact amounts, whose sum (or the named ingredient) is the target to the last rational
 * @throws           Refusal `mix/no-amount`, `mix/not-in-mixture`, `mix/powder-by-volume`, and as `scaleMixture`
 */
export function fillCup(mixture: Mixture, target: MixTarget, densityOf: DensityOf = () => null): CupContents {
  const single = (basis: Basis, of: 'cup' | 'body') =>
    contentsOf(scaleMixture(mixture, { basis, amount: 1, of }, densityOf))
  switch (target.kind) {
    case 'amount':
      return scaleCup(single(target.basis, target.of ?? 'cup'), above0(target.amount, 'the amount'))
    case 'cups': {
      const cups = multiply(above0(target.count, 'the number of cups'), above0(target.cupMl, 'what a cup holds'))
      return scaleCup(single('volume', 'cup'), multiply(cups, above0(target.fill, 'the fill of a cup')))
    }
    case 'use-up': {
      const left = above0(target.amount, `what is left of ${target.material.name}`)
      const cup = single(mixture.basis, 'cup')
      return scaleCup(cup, divide(left, amountOf(cup, target.material, target.basis)))
    }
  }
}

/**
 * The largest cup that can be mixed from what is on hand, and the material that runs out first. Materials that are not
 * listed are taken to be there.
 * @returns null when something listed is used up, or nothing of the mixture is listed
 */
export function largestCup(
  mixture: Mixture,
  onHand: readonly OnHand[],
  densityOf: DensityOf = () => null,
): { cup: CupContents; limitedBy: MaterialRef } | null {
  const cup = contentsOf(scaleMixture(mixture, { basis: mixture.basis, amount: 1, of: 'cup' }, densityOf))
  const limits = onHand
    .filter(({ material }) => cup.contents.some((each) => sameMaterial(each.material, material)))
    .map(({ material, basis, amount }) => ({
      material,
      factor: divide(exactly(amount), amountOf(cup, material, basis)),
    }))
    .toSorted((a, b) => compare(a.factor, b.factor))
  const [first] = limits
  if (!first || compare(first.factor, zero) <= 0) return null
  return { cup: scaleCup(cup, first.factor), limitedBy: first.material }
}
