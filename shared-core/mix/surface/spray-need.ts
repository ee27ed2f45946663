import { Refusal } from '../../contract/refusal.ts'
import { add, divide, fromNumber, multiply, type Rational, subtract, sum } from '../rational.ts'
import type { Estimate } from './shapes.ts'

/** Film of one coat: dry, with the volume solids (0 to 1) of the mixture that leaves it; or wet, as a wet film comb reads. */
export type CoatBuild = { kind: 'dry'; micrometres: number; solids: Rational } | { kind: 'wet'; micrometres: number }

export type SprayJob = {
  parts: readonly (Estimate & { name: string })[]
  /** A cross coat is two. */
  coats: number
  build: CoatBuild
  /** 0 to 1: the part of what leaves the gun that stays on the work; `low` and `high` where only a range is known. */
  transfer: { efficiency: number; low?: number; high?: number }
  /** What never reaches the gun's tip. */
  losses: { hoseMl: number; cupMl: number; strainerMl: number }
}

/** Each step of the sum, in mL and m²: see `working.ts` for its words. */
export type SprayNeed = {
  areaM2: Rational
  /** ± on the area: the parts' own, added up, as if all were measured wrong the same way. */
  areaDoubtM2: Rational
  /** Dry film of all coats on the area; null when the build is given wet. */
  filmMl: Rational | null
  onPartsMl: Rational
  throughGunMl: Rational
  lossesMl: Rational
  /** Ready to spray: what to mix. */
  readyMl: Rational
  /** The least and the most of it, when area and transfer are both at one end. */
  lowMl: Rational
  highMl: Rational
}

function checked(value: number, what: string, least: number, most: number): Rational {
  if (Number.isFinite(value) && value > least && value <= most) return fromNumber(value)
  throw new Refusal(
    'surface/no-measure',
    `${what} is missing, or not ${most === Number.POSITIVE_INFINITY ? `above ${least}` : `between ${least} and ${most}`}.`,
    'Enter it.',
  )
}

/**
 * Paint for a surface. 1 m² at 1 µm is 1 mL: so litres of solids are m² × mm.
 * @throws Refusal `surface/no-measure` naming what is missing
 */
export function sprayNeed({ parts, coats, build, transfer, losses }: SprayJob): SprayNeed {
  const areaM2 = sum(parts.map((part) => checked(part.areaM2, `The area of ${part.name}`, 0, Number.POSITIVE_INFINITY)))
  checked(parts.length, 'A part to paint', 0, Number.POSITIVE_INFINITY)
  const areaDoubtM2 = sum(parts.map((part) => multiply(fromNumber(part.areaM2), fromNumber(part.doubt))))
  const thickness = multiply(
    checked(coats, 'The number of coats', 0, Number.POSITIVE_INFINITY),
    checked(build.micrometres, 'The film of a coat', 0, Number.POSITIVE_INFINITY),
  )
  const efficiency = checked(transfer.efficiency, 'The transfer efficiency', 0, 1)
  const lossesMl = sum([losses.hoseMl, losses.cupMl, losses.strainerMl].map((loss) => fromNumber(Math.max(0, loss))))
  const wetOf = (area: Rational): Rational => {
    const film = multiply(area, thickness)
    return build.kind === 'dry' ? divide(film, build.solids) : film
  }
  const ready = (area: Rational, share: Rational): Rational => add(divide(wetOf(area), share), lossesMl)
  const low = transfer.low === undefined ? efficiency : checked(transfer.low, 'The lowest transfer efficiency', 0, 1)
  const high =
    transfer.high === undefined ? efficiency : checked(transfer.high, 'The highest transfer efficiency', 0, 1)
  return {
    areaM2,
    areaDoubtM2,
    filmMl: build.kind === 'dry' ? multiply(areaM2, thickness) : null,
    onPartsMl: wetOf(areaM2),
    throughGunMl: divide(wetOf(areaM2), efficiency),
    lossesMl,
    readyMl: ready(areaM2, efficiency),
    lowMl: ready(subtract(areaM2, areaDoubtM2), high),
    highMl: ready(add(areaM2, areaDoubtM2), low),
  }
}

/** The other way: square metres that a volume ready to spray covers. Below 0 when the losses take more than there is. */
export function areaCovered(readyMl: Rational, { coats, build, transfer, losses }: Omit<SprayJob, 'parts'>): Rational {
  const squareMetre = sprayNeed({ parts: [{ name: 'one', areaM2: 1, doubt: 0 }], coats, build, transfer, losses })
  return divide(subtract(readyMl, squareMetre.lossesMl), squareMetre.throughGunMl)
}
