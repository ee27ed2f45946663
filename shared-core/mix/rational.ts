/** An exact fraction: denominator above 0, always in lowest terms. Amounts keep their sums to the last digit with it. */
export type Rational = { readonly numerator: bigint; readonly denominator: bigint }

const magnitude = (value: bigint): bigint => (value < 0n ? -value : value)

const commonDivisor = (a: bigint, b: bigint): bigint => {
  let [x, y] = [magnitude(a), magnitude(b)]
  while (y !== 0n) [x, y] = [y, x % y]
  return x
}

/** @throws RangeError when the denominator is 0 */
export function rational(numerator: bigint, denominator: bigint = 1n): Rational {
  if (denominator === 0n) throw new RangeError('A fraction needs a denominator other than 0.')
  const sign = denominator < 0n ? -1n : 1n
  const divisor = commonDivisor(numerator, denominator) || 1n
  return { numerator: (sign * numerator) / divisor, denominator: magnitude(denominator) / divisor }
}

export const zero = rational(0n)
export const one = rational(1n)
export const hundred = rational(100n)
export const thousand = rational(1000n)

/**
 * The decimal that a number is written as: 0.1 becomes 1/10, not the binary fraction beside it, because a painter who
 * typed 0.1 meant a tenth.
 * @throws RangeError when the number is not finite
 */
export function fromNumber(value: number): Rational {
  if (!Number.isFinite(value)) throw new RangeError(`${value} is not an amount.`)
  const [digits = '0', exponent = '0'] = String(value).split('e')
  const [whole = '0', decimals = ''] = digits.split('.')
  const shift = Number(exponent) - decimals.length
  const numerator = BigInt(whole + decimals)
  return shift >= 0 ? rational(numerator * 10n ** BigInt(shift)) : rational(numerator, 10n ** BigInt(-shift))
}

export const add = (a: Rational, b: Rational): Rational =>
  rational(a.numerator * b.denominator + b.numerator * a.denominator, a.denominator * b.denominator)

export const subtract = (a: Rational, b: Rational): Rational => add(a, { ...b, numerator: -b.numerator })

export const multiply = (a: Rational, b: Rational): Rational =>
  rational(a.numerator * b.numerator, a.denominator * b.denominator)

/** @throws RangeError when b is 0 */
export const divide = (a: Rational, b: Rational): Rational =>
  rational(a.numerator * b.denominator, a.denominator * b.numerator)

export const sum = (values: readonly Rational[]): Rational => values.reduce(add, zero)

/** Below 0, 0 or above 0 as a is smaller than, equal to or greater than b. */
export function compare(a: Rational, b: Rational): number {
  const difference = a.numerator * b.denominator - b.numerator * a.denominator
  return difference === 0n ? 0 : difference < 0n ? -1 : 1
}

export const equal = (a: Rational, b: Rational): boolean => compare(a, b) === 0

const bitsKept = 100n
/** How many low bits to drop so that about a hundred stay: far more than a double holds. */
const excess = (value: bigint): bigint => {
  const bits = BigInt(magnitude(value).toString(2).length)
  return bits > bitsKept ? bits - bitsKept : 0n
}

/** As a double, to within a few units in the last place, however long numerator and denominator are. */
export function toNumber(value: Rational): number {
  const [above, below] = [excess(value.numerator), excess(value.denominator)]
  const quotient = Number(value.numerator >> above) / Number(value.denominator >> below)
  return quotient * 2 ** Number(above - below)
}

export const greatest = (a: Rational, b: Rational): Rational => (compare(a, b) >= 0 ? a : b)

export const distance = (a: Rational, b: Rational): Rational => {
  const between = subtract(a, b)
  return { ...between, numerator: magnitude(between.numerator) }
}

/** The largest whole number that is not above the value. */
export function floor(value: Rational): bigint {
  const whole = value.numerator / value.denominator
  return value.numerator < 0n && whole * value.denominator !== value.numerator ? whole - 1n : whole
}
