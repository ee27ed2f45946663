import type { MaterialRef, Mixture } from '../../records/mixture.ts'
import { reducerOnTop } from '../limits.ts'
import { type Decimal, formatShort } from '../units.ts'

/*
 * Limits by gun and tip: common practice, no source. They warn, they never refuse; data sheets come first.
 * Reducer on top: 0 % with a full-size gun, 5 % with small tips, 10 % the usual limit, up to 20 % with a 0.5 mm airbrush
 * tip; above that the coat stops levelling and breaks up.
 */

export type TipClass = 'airbrush' | 'small' | 'full-size'

/** The largest tips that count as an airbrush's and as small. */
const airbrushTipMm = 0.5
const smallTipMm = 1.1

export const tipClass = (tipMm: number): TipClass =>
  tipMm <= airbrushTipMm ? 'airbrush' : tipMm <= smallTipMm ? 'small' : 'full-size'

/** Percent on top: what is usual to begin with, and what is too much. */
export const reducerLimits: Readonly<Record<TipClass, { usual: number; most: number }>> = {
  'full-size': { usual: 0, most: 10 },
  small: { usual: 5, most: 10 },
  airbrush: { usual: 10, most: 20 },
}

/** Where the coat breaks up, whatever the gun. */
const breaksUpPercent = 20

/** What to say of a mixture's reducer in this gun: whole sentences. @param tipMm null while nobody said */
export function reducerWarnings(mixture: Mixture, tipMm: number | null, decimal: Decimal = 'point'): string[] {
  const percent = reducerOnTop(mixture)
  const shown = Number.isFinite(percent) ? `${formatShort(percent, 1, decimal)} % reducer` : 'Nothing but reducer'
  if (percent > breaksUpPercent) {
    return [`${shown}: above ${breaksUpPercent} % the coat stops levelling and breaks up. Check the data sheet.`]
  }
  if (tipMm === null) {
    if (percent <= reducerLimits.small.most) return []
    return [`${shown}: 10 % is the usual limit; up to 20 % is for a 0.5 mm airbrush tip. Check the data sheet.`]
  }
  const kind = tipClass(tipMm)
  const { most } = reducerLimits[kind]
  const tip = `${formatShort(tipMm, 2, decimal)} mm tip`
  if (percent > most) return [`${shown}: ${most} % is the usual limit with a ${tip}. Check the data sheet.`]
  // A full-size gun needs none; a little more than none is the painter's own way and no mistake.
  if (kind === 'full-size' && percent > reducerLimits.small.usual) {
    return [`${shown}: a full-size gun (${tip}) usually needs none. It may run and mottle. Check the data sheet.`]
  }
  return []
}

/** The mixture with so much reducer on top of everything, in place of what was on top before. 0 takes it out. */
export function withReducer(mixture: Mixture, reducer: MaterialRef, percentOnTop: number): Mixture {
  const rest = mixture.parts.filter((part) => part.material?.kind !== 'reducer' || part.unit !== 'percent-on-top')
  if (percentOnTop <= 0) return { ...mixture, parts: rest }
  return {
    ...mixture,
    parts: [...rest, { amount: percentOnTop, unit: 'percent-on-top', material: reducer, mixture: null }],
  }
}

/**
 * How large a tip has to be for flake. Common practice, no source: six times the flake's size, and 1.4 mm at least. Below
 * three times flakes bridge the opening.
 */
const timesFlake = 6
const bridgesBelowTimes = 3
const smallestFlakeTipMm = 1.4

/** In mm. */
export const tipForFlake = (flakeUm: number): number => Math.max(smallestFlakeTipMm, (timesFlake * flakeUm) / 1000)

/** What to say of a tip for flake: null when it is large enough. @param flakeUm null while nobody said its size */
export function flakeTipWarning(tipMm: number, flakeUm: number | null, decimal: Decimal = 'point'): string | null {
  const say = (mm: number): string => `${formatShort(mm, 2, decimal)} mm`
  if (flakeUm === null) {
    if (tipMm >= smallestFlakeTipMm) return null
    return `A ${say(tipMm)} tip is small for flake: ${say(smallestFlakeTipMm)} and up is usual. See the flake’s data sheet.`
  }
  if (tipMm >= tipForFlake(flakeUm)) return null
  const wanted = say(tipForFlake(flakeUm))
  if (tipMm * 1000 < bridgesBelowTimes * flakeUm) {
    return `${flakeUm} µm flake will block a ${say(tipMm)} tip. Use ${wanted} or larger, as its data sheet says.`
  }
  return `A ${say(tipMm)} tip is small for ${flakeUm} µm flake: ${wanted} or larger is usual. See its data sheet.`
}
