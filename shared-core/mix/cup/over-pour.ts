import { Refusal } from '../../contract/refusal.ts'
import type { Mixture } from '../../records/mixture.ts'
import type { DensityOf } from '../quantities.ts'
import {
  add,
  compare,
  divide,
  fromNumber,
  greatest,
  multiply,
  one,
  type Rational,
  rational,
  subtract,
  sum,
  toNumber,
  zero,
} from '../rational.ts'
import { mixtureAsPoured } from './as-poured.ts'
import { sumKnown } from './contents.ts'
import { gaugeFor, type Measuring, roundToStep } from './measuring.ts'
import type { Vessel } from './pour-plan.ts'
import { compareShares, type Measured, type ShareChanges } from './shares.ts'

/** One line of a cup that is being poured: `amount` is what the formula wants of it. */
export type PouringLine = Measured & {
  /** What is in the cup of it, in the line's unit; null: not poured yet. */
  poured: Rational | null
}

export type RestLine = PouringLine & {
  /** What the formula wants of it now. */
  wanted: Rational
  /** Still to be poured, exactly; 0 where what is in the cup is right as far as can be measured. */
  missing: Rational
  /** The same, as it can be measured. */
  toPour: Rational
  /** It is in the cup already and has to grow. */
  topUp: boolean
  /** It is in the cup already, and there is more of it than was asked for when it was poured, after those before it. */
  over: boolean
  /** What scale or cup will say once `toPour` is in, in this order; null for a powder weighed apart. */
  reading: Rational | null
}

export type RestOfCup = {
  /** How much larger the cup becomes: 1 when nothing was poured too far. */
  factor: Rational
  lines: readonly RestLine[]
  /** What the whole cup comes to, in its unit, without powders that are weighed apart. */
  total: Rational
  /** Null where a density is missing. */
  volumeMl: Rational | null
  /** Null: no cup was named, or the volume is not known. */
  fits: boolean | null
  /** The other way: leave the rest as it was and accept another mixture. Null when nothing was poured too far. */
  keepGoing: { shares: ShareChanges; mixture: Mixture | null; volumeMl: Rational | null } | null
}

const isApart = ({ powder }: Measured, { by }: Measuring): boolean => powder && by === 'volume'

const half = rational(1n, 2n)

/** What is too little or too much to be told from right: half a step of the scale or cup. */
const slackOf = (wanted: Rational, line: Measured, measuring: Measuring): Rational =>
  multiply(gaugeFor(wanted, line.powder, measuring).step, half)

/** More was poured than can be told from right, and more than rounding to a step asked for. */
function isOver(poured: Rational, wanted: Rational, line: Measured, measuring: Measuring): boolean {
  const { step } = gaugeFor(wanted, line.powder, measuring)
  const most = greatest(add(wanted, multiply(step, half)), roundToStep(wanted, step))
  return compare(poured, most) > 0
}

/**
 * The smallest growth, from 1 up, that lets every poured line stand (within half a step) and is set by one of them. So a
 * line that was topped up to the nearest step does not make all the others grow again.
 */
function growth(lines: readonly PouringLine[], measuring: Measuring): Rational {
  const poured = lines.flatMap((line) =>
    line.poured && compare(line.amount, zero) > 0 ? [{ line, amount: line.poured }] : [],
  )
  const stands = (factor: Rational): boolean =>
    poured.every(({ line, amount }) => !isOver(amount, multiply(line.amount, factor), line, measuring))
  const candidates = [one, ...poured.map(({ line, amount }) => divide(amount, line.amount))]
    .filter((factor) => compare(factor, one) >= 0)
    .toSorted(compare)
  return candidates.find(stands) ?? one
}

const volumeOf = (lines: readonly Measured[], { by }: Measuring, densityOf: DensityOf): Rational | null =>
  sumKnown(
    lines
      .filter(({ powder }) => !powder)
      .map(({ material, amount }) => {
        if (by === 'volume') return amount
        const density = densityOf(material)
        return density === null ? null : divide(amount, fromNumber(density))
      }),
  )

/**
 * What is left to do in a cup, whatever was poured so far and in whatever order. Where something was poured too far, the
 * whole cup grows until every ratio is the formula's again, exactly: what is in it already is topped up, and the rest grows.
 * It rests on the plan and the readings alone, so it can be asked again after every pour, and a reading can be taken back.
 *
 * A line that the painter accepted as it is gets its poured amount as `amount`: then the new mixture is the one to keep.
 * @param lines  in pouring order; what the plan wants, and what was poured
 */
export function restOfCup(
  lines: readonly PouringLine[],
  measuring: Measuring,
  vessel: Vessel | null = null,
  densityOf: DensityOf = () => null,
): RestOfCup {
  const factor = growth(lines, measuring)
  let reading = sum(lines.filter((line) => !isApart(line, measuring)).map(({ poured }) => poured ?? zero))
  const rest = lines.map((line, at): RestLine => {
    const wanted = multiply(line.amount, factor)
    const { step } = gaugeFor(wanted, line.powder, measuring)
    const short = subtract(wanted, line.poured ?? zero)
    const begun = line.poured !== null && compare(line.poured, zero) > 0
    const stands = begun && compare(short, slackOf(wanted, line, measuring)) <= 0
    const missing = stands || compare(short, zero) <= 0 ? zero : short
    const toPour = roundToStep(missing, step)
    const apart = isApart(line, measuring)
    if (!apart) reading = add(reading, toPour)
    return {
      ...line,
      wanted,
      missing,
      toPour,
      topUp: begun && compare(missing, zero) > 0,
      over:
        line.poured !== null &&
        isOver(line.poured, multiply(line.amount, growth(lines.slice(0, at), measuring)), line, measuring),
      reading: apart ? null : reading,
    }
  })
  const grown = rest.map((line): Measured => ({ ...line, amount: line.wanted }))
  const volumeMl = volumeOf(grown, measuring, densityOf)
  return {
    factor,
    lines: rest,
    total: sum(grown.filter((line) => !isApart(line, measuring)).map(({ amount }) => amount)),
    volumeMl,
    fits: vessel && volumeMl ? compare(volumeMl, multiply(vessel.cupMl, vessel.fill)) <= 0 : null,
    keepGoing: compare(factor, one) > 0 ? goOn(rest, measuring, densityOf) : null,
  }
}

/** The rest as it was planned: what was poured too far stays, what was poured too little is made up. */
function goOn(lines: readonly RestLine[], measuring: Measuring, densityOf: DensityOf): RestOfCup['keepGoing'] {
  const made = lines.map((line): Measured => {
    const { material, powder, amount, poured } = line
    return { material, powder, amount: poured && isOver(poured, amount, line, measuring) ? poured : amount }
  })
  return {
    shares: compareShares(lines, made, measuring.by),
    mixture: mixtureAsPoured(made, measuring.by, densityOf),
    volumeMl: volumeOf(made, measuring, densityOf),
  }
}

/**
 * What was poured of one line, from what scale or cup says now: the reading without everything else that is in it.
 * @throws Refusal `mix/reading-too-small` when less is in the cup than was poured before
 */
export function pouredFromReading(
  lines: readonly PouringLine[],
  index: number,
  reading: Rational,
  measuring: Measuring,
): Rational {
  const line = lines[index]
  if (!line) throw new RangeError(`There is no line ${index}.`)
  if (isApart(line, measuring)) return reading
  const others = lines.filter((each, at) => at !== index && !isApart(each, measuring))
  const before = sum(others.map(({ poured }) => poured ?? zero))
  const poured = subtract(reading, before)
  if (compare(poured, zero) >= 0) return poured
  throw new Refusal(
    'mix/reading-too-small',
    `That is less than the ${toNumber(before)} ${measuring.by === 'mass' ? 'g' : 'mL'} that were in the cup before ${line.material.name}.`,
    'Read the scale or cup again. If it was set to zero in between, enter what was poured of this ingredient alone.',
  )
}
