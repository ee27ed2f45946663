import { compare, fromNumber, hundred, multiply, one, type Rational, subtract, toNumber, zero } from '../rational.ts'
import { type Decimal, formatShort } from '../units.ts'
import type { Measuring } from './measuring.ts'
import type { RestLine, RestOfCup } from './over-pour.ts'

const unitOf = (powder: boolean, { by }: Measuring): string => (powder || by === 'mass' ? 'g' : 'mL')

const isPoured = ({ poured }: RestLine): boolean => poured !== null && compare(poured, zero) > 0

/** What an over-pour means, in whole sentences: what to top up, what the cup comes to, and the other way. Empty: nothing. */
export function overPourInWords(rest: RestOfCup, measuring: Measuring, decimal: Decimal): string[] {
  if (compare(rest.factor, one) <= 0) return []
  const say = (value: Rational): string => formatShort(toNumber(value), 2, decimal)
  const percent = (value: Rational): string => {
    const figure = Math.abs(toNumber(multiply(value, hundred)))
    // of a cup that grows many times over, tenths of a percent say nothing
    return formatShort(figure, figure < 100 ? 1 : 0, decimal)
  }
  const over = rest.lines.filter((line) => line.over).map(({ material }) => material.name)
  const words = [
    `More ${over.join(', ')} than was asked for: the cup grows by ${percent(subtract(rest.factor, one))} % to ${formatShort(toNumber(rest.total), 1, decimal)} ${unitOf(false, measuring)}.`,
  ]
  const topUps = rest.lines.filter(({ topUp }) => topUp)
  if (topUps.length > 0) {
    const each = topUps.map(
      ({ material, toPour, powder }) => `${say(toPour)} ${unitOf(powder, measuring)} ${material.name}`,
    )
    words.push(`Top up ${each.join(', ')}. The rest grows with it.`)
  }
  if (rest.fits === false) words.push('That is more than this cup takes.')
  // once more was poured to the larger cup, leaving the rest is no choice any more
  const isLast = rest.lines.findLastIndex(isPoured) === rest.lines.findLastIndex((line) => line.over)
  const [worst] = rest.keepGoing?.shares.changed ?? []
  if (worst && isLast) {
    const way = compare(worst.change, zero) > 0 ? 'more' : 'less'
    const size =
      compare(multiply(worst.relative, worst.relative), fromNumber(0.000001)) < 0
        ? 'hardly'
        : `${percent(worst.relative)} %`
    words.push(
      `Or leave the rest as it was: then there is ${size} ${way} ${worst.material.name} than the formula says.`,
    )
  }
  return words
}
