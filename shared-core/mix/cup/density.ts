import {
  add,
  compare,
  distance,
  divide,
  fromNumber,
  hundred,
  multiply,
  one,
  type Rational,
  rational,
  subtract,
  toNumber,
} from '../rational.ts'
import { type Decimal, formatQuantity, formatShort, type UnitSystem } from '../units.ts'
import type { CupContents } from './contents.ts'

/** Grams of so many millilitres. A density in kg/L is grams per millilitre. */
export const massOf = (volumeMl: Rational, densityKgPerL: number): Rational =>
  multiply(volumeMl, fromNumber(densityKgPerL))

/** Millilitres of so many grams. @throws RangeError when the density is 0 */
export const volumeOf = (massG: Rational, densityKgPerL: number): Rational => divide(massG, fromNumber(densityKgPerL))

/** kg/L of a whole cup, or null when a volume or mass in it is not known. Powders weigh and take no room. */
export const densityOfCup = ({ volumeMl, massG }: CupContents): Rational | null =>
  volumeMl && massG && volumeMl.numerator > 0n ? divide(massG, volumeMl) : null

/** The shelf's densities hold at this temperature. */
export const densityTemperatureC = 20

/**
 * Growth of volume per °C of solvent-borne paint: common practice, no source. From memory, handbook values of what is in it:
 * xylenes and toluene 1.0 to 1.1, butyl acetate 1.2, acetone 1.4 thousandths; pigment and resin less. Water: 0.2.
 */
export const usualExpansionPerC = rational(1n, 1000n)

/**
 * Density at another temperature than 20 °C.
 * @param expansionPerC  growth of the volume per °C, linear; holds within some 20 °C of 20 °C
 */
export const densityAt = (
  densityKgPerL: number,
  temperatureC: number,
  expansionPerC: Rational = usualExpansionPerC,
): Rational =>
  divide(
    fromNumber(densityKgPerL),
    add(one, multiply(expansionPerC, subtract(fromNumber(temperatureC), fromNumber(densityTemperatureC)))),
  )

/**
 * What the temperature does to a cup that is measured in one basis from a formula in the other; null within 5 °C of 20 °C,
 * where it is half a percent and less.
 */
export function temperatureNote(temperatureC: number, system: UnitSystem, decimal: Decimal): string | null {
  const away = distance(fromNumber(temperatureC), fromNumber(densityTemperatureC))
  if (compare(away, rational(5n)) <= 0) return null
  const percent = formatShort(toNumber(multiply(multiply(away, usualExpansionPerC), hundred)), 1, decimal)
  const shown = formatQuantity(temperatureC, 'temperature', system, decimal)
  const usual = formatQuantity(densityTemperatureC, 'temperature', system, decimal)
  const way = temperatureC > densityTemperatureC ? 'lighter' : 'heavier'
  return `Densities are given for ${usual}. At ${shown} a litre of solvent-borne paint is about ${percent} % ${way}; the ratios hardly change, as all of it does the same.`
}
