import type { Lab } from '../../colour/lab.ts'
import { meanOf, type StripColour } from './colours-along.ts'
import type { PanelFacts } from './which-panel.ts'

/** Whether a panel's first step is the first strip of the photo or its last; null: it cannot be told. */
export type WhichEnd = 'first' | 'last' | null

/**
 * @param strips  the strips in their order in the photo, as the camera gave them; null: not seen
 * @param known   newest readings of the panel's steps, in the panel's order; null: never read
 */
export function whichEnd(
  panel: Pick<PanelFacts, 'layers' | 'steps'>,
  strips: readonly (StripColour | null)[],
  known: readonly (Lab | null)[],
): WhichEnd {
  const isFlat = (strip: StripColour) => strip.lab.l <= mostBright && strip.uneven <= mostUneven
  const seen = strips.map((strip) => (strip && isFlat(strip) ? strip.lab : null))
  const uneven = Math.max(0, ...strips.flatMap((strip) => (strip && isFlat(strip) ? strip.uneven : [])))
  return byReadings(seen, known) ?? byCoats(panel, seen, uneven)
}

/** A strip that the camera shows brighter than this, or as uneven, lies in a highlight: it may be any colour. Our own figures, no source. */
const mostBright = 92
const mostUneven = 6

/** Readings of the steps must differ by so much before they can tell one end from the other. Our own figures, no source. */
const leastApart = 4
const leastGain = 2

/**
 * By what the steps were read as before. A photo is not calibrated yet: what all strips are off by together is left out of it.
 */
function byReadings(strips: readonly (Lab | null)[], known: readonly (Lab | null)[]): WhichEnd {
  const count = known.length
  if (strips.length !== count || count < 2) return null
  const cost = (order: (i: number) => number): { rms: number; spread: number } | null => {
    const pairs = known.flatMap((lab, i) => {
      const seen = strips[order(i)]
      return lab && seen ? [{ lab, seen }] : []
    })
    if (pairs.length < 2) return null
    const [k, s] = [meanOf(pairs.map(({ lab }) => lab)), meanOf(pairs.map(({ seen }) => seen))]
    const squares = pairs.map(
      ({ lab, seen }) =>
        (lab.l - k.l - seen.l + s.l) ** 2 + (lab.a - k.a - seen.a + s.a) ** 2 + (lab.b - k.b - seen.b + s.b) ** 2,
    )
    const spread = Math.max(...pairs.map(({ lab }) => Math.hypot(lab.l - k.l, lab.a - k.a, lab.b - k.b)))
    return { rms: Math.sqrt(squares.reduce((sum, each) => sum + each, 0) / pairs.length), spread }
  }
  const [forth, back] = [cost((i) => i), cost((i) => count - 1 - i)]
  if (!forth || !back || forth.spread * 2 < leastApart) return null
  const [better, worse] = [Math.min(forth.rms, back.rms), Math.max(forth.rms, back.rms)]
  if (better > worse / 2 || worse - better < leastGain) return null
  return forth.rms < back.rms ? 'first' : 'last'
}

/** Between its ends a panel must fall by so much in lightness, as the camera sees it. Our own figure, no source. */
const leastFall = 5
/** Of all pairs of strips, so many may stand the other way: grain, and a lamp at one side. */
const mostAstray = 0.2

/**
 * A candy darkens what lies under it, and more coats darken it more: the lighter end has fewer (common practice, no source). Of
 * other paint more coats say nothing.
 */
function byCoats(
  { layers, steps }: Pick<PanelFacts, 'layers' | 'steps'>,
  strips: readonly (Lab | null)[],
  uneven: number,
): WhichEnd {
  if (!layers.some(({ kind }) => kind === 'candy') || strips.length !== steps.length) return null
  const coats = steps.map((step) => step.coats)
  const way = monotone(coats)
  if (way === 0) return null
  const lightness = strips.flatMap((lab) => (lab ? [lab.l] : []))
  if (lightness.length < Math.max(2, strips.length / 2)) return null
  const falls = fallsBy(lightness, uneven)
  if (falls === null) return null
  // strips fall in the photo where coats rise: the first step, with the fewest or the most, lies at that end
  return falls === way > 0 ? 'first' : 'last'
}

/** 1 where each is more than the one before, -1 where each is less, else 0. */
function monotone(values: readonly number[]): 1 | -1 | 0 {
  const steps = values.slice(1).map((value, i) => Math.sign(value - values[i]!))
  if (steps.length === 0) return 0
  if (steps.every((step) => step > 0)) return 1
  return steps.every((step) => step < 0) ? -1 : 0
}

/** Whether lightness falls from first to last; null where it does neither plainly, or no more than within a strip. */
function fallsBy(lightness: readonly number[], uneven: number): boolean | null {
  const whole = lightness.at(-1)! - lightness[0]!
  if (Math.abs(whole) < Math.max(leastFall, uneven)) return null
  let [astray, pairs] = [0, 0]
  lightness.forEach((one, i) => {
    for (const other of lightness.slice(i + 1)) {
      pairs++
      if (Math.sign(other - one) !== Math.sign(whole)) astray++
    }
  })
  return astray / pairs > mostAstray ? null : whole < 0
}
