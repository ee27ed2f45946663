import type { Mixture } from '../records/mixture.ts'
import type { LayerKind } from '../records/panel.ts'

/*
 * Limits of the trade: common practice, no source. They warn, they never refuse; data sheets come first.
 * Reducer on top: 0 % with a full-size gun, 5 % with small tips, 10 % the usual limit, up to 20 % with a 0.5 mm airbrush tip.
 * Mid coat: 4 : 1 to 3 : 1 paint to carrier (20 to 25 % carrier), two coats, three at most.
 */
const usualReducerPercent = 10
const mostReducerPercent = 20

/** Percent of reducer on top of everything else, from percentages on top and of the total; parts are the painter's own. */
export function reducerOnTop(mixture: Mixture): number {
  let [onTop, ofTotal] = [0, 0]
  for (const part of mixture.parts) {
    if (part.material?.kind !== 'reducer') continue
    if (part.unit === 'percent-on-top') onTop += part.amount
    if (part.unit === 'percent-of-total') ofTotal += part.amount
  }
  return ofTotal < 100 ? (100 * (ofTotal + onTop)) / (100 - ofTotal) : Number.POSITIVE_INFINITY
}

export function mixtureWarnings(mixture: Mixture): string[] {
  const percent = reducerOnTop(mixture)
  if (percent > mostReducerPercent) {
    return ['Above 20 % reducer the coat stops levelling and breaks up. Check the data sheet.']
  }
  if (percent > usualReducerPercent) {
    return ['10 % reducer is the usual limit; up to 20 % is for a 0.5 mm airbrush tip. Check the data sheet.']
  }
  return []
}

export function coatsWarnings(coats: number | null): string[] {
  return coats !== null && coats > 60 ? ['More than 60 coats cannot be written down.'] : []
}

/** Warnings that need to know what the layer is. */
export function layerWarnings(kind: LayerKind, mixture: Mixture | null, coats: number): string[] {
  if (kind !== 'mid-coat') return []
  const warnings: string[] = []
  if (coats > 3) warnings.push('A mid coat gets two coats, three at most.')
  const carrier = mixture ? carrierShare(mixture) : null
  // Half a percent of grace, so that rounded amounts do not warn.
  if (carrier !== null && carrier > 0 && (carrier < 0.195 || carrier > 0.255)) {
    warnings.push(`A mid coat usually takes 20 to 25 % carrier; this one has ${Math.round(carrier * 100)} %.`)
  }
  return warnings
}

/** 0 to 1 of the parts of the mixture; null when it is not given in parts alone. */
function carrierShare(mixture: Mixture): number | null {
  const parts = mixture.parts.filter((part) => part.unit === 'parts')
  if (mixture.parts.some((part) => part.unit === 'percent-of-total')) return null
  const whole = parts.reduce((total, part) => total + part.amount, 0)
  if (whole === 0) return null
  return parts.reduce((total, part) => total + (part.material?.kind === 'carrier' ? part.amount : 0), 0) / whole
}
