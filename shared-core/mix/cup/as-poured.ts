import type { Basis, Mixture, Part } from '../../records/mixture.ts'
import type { DensityOf } from '../quantities.ts'
import { compare, divide, fromNumber, type Rational, sum, thousand, toNumber, zero } from '../rational.ts'
import type { Measured } from './shares.ts'

/** Volume of everything but the powders, in litres; null where a density is missing. */
function litresOf(lines: readonly Measured[], by: Basis, densityOf: DensityOf): Rational | null {
  const volumes: Rational[] = []
  for (const { material, powder, amount } of lines) {
    if (powder) continue
    const density = by === 'volume' ? 1 : densityOf(material)
    if (density === null) return null
    volumes.push(divide(amount, fromNumber(density)))
  }
  return divide(sum(volumes), thousand)
}

/**
 * What was measured out, as a mixture: what a record keeps, and what a colour is predicted from. Amounts in mL or g are its
 * parts; powders go in by grams per litre, or as parts by mass where the litres are not known.
 * @returns null when nothing but powder, or nothing at all, was measured
 */
export function mixtureAsPoured(
  lines: readonly Measured[],
  by: Basis,
  densityOf: DensityOf = () => null,
  name = '',
): Mixture | null {
  const poured = lines.filter(({ amount }) => compare(amount, zero) > 0)
  const litres = litresOf(poured, by, densityOf)
  const asPowder = litres !== null && compare(litres, zero) > 0 ? litres : null
  const parts = poured.map(({ material, powder, amount }): Part => {
    const powdered = powder && asPowder
    return {
      amount: toNumber(powdered ? divide(amount, powdered) : amount),
      unit: powdered ? 'grams-per-litre' : 'parts',
      material,
      mixture: null,
    }
  })
  if (!poured.some(({ powder }) => !powder)) return null
  return { name, basis: by, parts }
}
