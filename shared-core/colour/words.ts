import { type DifferenceParts, differenceParts } from './difference.ts'
import type { Lab } from './lab.ts'

export type Grade = 'touch' | 'little' | 'clear' | 'much'

/** One direction in which the candidate differs, and the word for the way back. */
export type DifferenceWord = {
  /** `depth` is lightness and chroma together, `cast` the lean of greys, which have no hue. */
  readonly axis: 'lightness' | 'chroma' | 'depth' | 'hue' | 'cast'
  readonly grade: Grade
  readonly word: string
  readonly opposite: string
  /** How far, in dE00. */
  readonly de00: number
}

/**
 * From how many dE00 a grade begins.
 * 0.8: half of the observers see a difference, 1.8: half of them no longer accept it. Source: Paravina et al., J.
 * Esthet. Restor. Dent. 27 (2015) S1–S9, 175 observers, pairs of ceramic in a viewing booth, CIEDE2000; taken over in
 * ISO/TR 28642:2016. 5.4, three times what is accepted: Paravina, Pérez, Ghinea, J. Esthet. Restor. Dent. 31 (2019)
 * 103–112 (from memory). Nothing as well founded is known to us for paint on panels.
 * 0.5: common practice, no source: on panels that touch a trained eye sees less than others do.
 */
const visibleFrom = 0.5
const grades: readonly (readonly [from: number, grade: Grade])[] = [
  [5.4, 'much'],
  [1.8, 'clear'],
  [0.8, 'little'],
  [visibleFrom, 'touch'],
]

const gradeText: Record<Grade, string> = { touch: 'a touch', little: 'a little', clear: 'clearly', much: 'much' }

export const noDifference = 'No difference that can be seen'

/**
 * C′ below which a colour counts as near neutral, and from which one beside it is coloured (common practice, no
 * source).
 */
const neutralBelow = 5
const colouredFrom = 10
/** C′ from which painters call more and less chroma cleaner and dirtier (common practice, no source). */
const cleanFrom = 20
/**
 * Darker and more colourful at once is deeper, as one coat of candy more makes it; the way back is paler. Said so where
 * the smaller of the two is at least this share of the larger (common practice, no source; depth as a direction of its
 * own: R. S. Berns, Color Res. Appl. 39 (2014) 322–330).
 */
const depthShare = 0.5

/**
 * Unique hues in degrees. Source: CIE 159:2004 (CIECAM02) table 3: red 20.14, yellow 90, green 164.25, blue 237.53;
 * taken over for the hue angle of CIELAB, which is near enough for words.
 */
const uniqueHues = [
  { angle: 20.14, name: 'red', word: 'redder' },
  { angle: 90, name: 'yellow', word: 'yellower' },
  { angle: 164.25, name: 'green', word: 'greener' },
  { angle: 237.53, name: 'blue', word: 'bluer' },
] as const
const between = ['orange', 'yellow-green', 'turquoise', 'purple'] as const

/** Which hue an angle is: one of four unique ones, or of the four between. Each owns the half of the gap next to it. */
function hueSector(angle: number): { index: number; isUnique: boolean } {
  const fromRed = (angle - uniqueHues[0].angle + 720) % 360
  for (let i = 0; i < 4; i++) {
    const start = (uniqueHues[i]?.angle ?? 0) - uniqueHues[0].angle
    const end = i === 3 ? 360 : (uniqueHues[i + 1]?.angle ?? 0) - uniqueHues[0].angle
    if (fromRed >= end) continue
    const share = (fromRed - start) / (end - start)
    if (share < 0.25) return { index: i, isUnique: true }
    if (share < 0.75) return { index: i, isUnique: false }
    return { index: (i + 1) % 4, isUnique: true }
  }
  return { index: 0, isUnique: true }
}

/** Name of a hue angle in degrees: red, orange, yellow, yellow-green, green, turquoise, blue, purple. */
export function hueName(angle: number): string {
  const { index, isUnique } = hueSector(angle)
  return (isUnique ? uniqueHues[index]?.name : between[index]) ?? 'red'
}

const hueWord = (index: number) => uniqueHues[(index + 4) % 4]?.word ?? 'redder'

/**
 * Words for the two ways round the hue circle at a hue. A yellow goes redder or greener, an orange redder or yellower:
 * the neighbours are named, as colourists do (common practice, no source). Both colours share the mean hue, so a swap
 * turns the word.
 */
function hueWords(meanHue: number): { back: string; on: string } {
  const { index, isUnique } = hueSector(meanHue)
  return isUnique
    ? { back: hueWord(index - 1), on: hueWord(index + 1) }
    : { back: hueWord(index), on: hueWord(index + 1) }
}

function gradeOf(de00: number): Grade | null {
  return grades.find(([from]) => de00 >= from)?.[1] ?? null
}

type Direction = Omit<DifferenceWord, 'grade'>

function direction(axis: Direction['axis'], isUp: boolean, [up, down]: readonly [string, string], size: number) {
  return { axis, word: isUp ? up : down, opposite: isUp ? down : up, de00: Math.abs(size) }
}

const lightnessDirection = ({ lightness }: DifferenceParts): Direction =>
  direction('lightness', lightness > 0, ['lighter', 'darker'], lightness)

/**
 * Two near neutrals have no hue, and going round the circle says nothing. They lean: warmer and cooler along b*, as
 * photographers say of white, pinker and greener in cast along a* (common practice, no source).
 */
function castDirections(reference: Lab, candidate: Lab, parts: DifferenceParts): Direction[] {
  const da = candidate.a - reference.a
  const db = candidate.b - reference.b
  const long = Math.hypot(da, db)
  if (long === 0) return []
  const whole = chromaticDe00(parts)
  return [
    direction('cast', db > 0, ['warmer', 'cooler'], (whole * db) / long),
    direction('cast', da > 0, ['pinker in cast', 'greener in cast'], (whole * da) / long),
  ]
}

/** The part of a difference that is not lightness. */
function chromaticDe00(parts: DifferenceParts): number {
  return Math.sqrt(Math.max(0, parts.chroma ** 2 + parts.hue ** 2 + parts.both))
}

/**
 * In blues CIEDE2000 counts chroma and hue together (the rotation term), and each by itself may be larger than the
 * whole. What they have in common is taken off, or added, in proportion: signs and their ratio stay, and the squares of
 * lightness, chroma and hue add up to that of dE00. 1 outside the blues.
 */
function shareOfBoth(parts: DifferenceParts): number {
  const apart = Math.hypot(parts.chroma, parts.hue)
  return apart === 0 ? 1 : chromaticDe00(parts) / apart
}

/** A grey against a colour: the colour's own hue says all there is to say. */
function greyToColour(reference: Lab, candidate: Lab, parts: DifferenceParts): Direction {
  const isMore = parts.chroma > 0
  const coloured = isMore ? candidate : reference
  const name = hueName((Math.atan2(coloured.b, coloured.a) * 180) / Math.PI)
  const words = [`more colourful, towards ${name}`, `greyer, away from ${name}`] as const
  return direction('chroma', isMore, words, chromaticDe00(parts))
}

function directionsOf(reference: Lab, candidate: Lab, parts: DifferenceParts): Direction[] {
  const low = Math.min(parts.chromaA, parts.chromaB)
  const high = Math.max(parts.chromaA, parts.chromaB)
  if (low < neutralBelow) {
    const isGrey = high < colouredFrom
    const colour = isGrey ? castDirections(reference, candidate, parts) : [greyToColour(reference, candidate, parts)]
    return [lightnessDirection(parts), ...colour]
  }
  const share = shareOfBoth(parts)
  const { back, on } = hueWords(parts.meanHue)
  const hue = direction('hue', parts.hue > 0, [on, back], share * parts.hue)
  const chroma = share * parts.chroma
  const sizes = [Math.abs(parts.lightness), Math.abs(chroma)]
  const [less, more] = [Math.min(...sizes), Math.max(...sizes)]
  if (parts.lightness * chroma < 0 && less >= visibleFrom && less >= depthShare * more)
    return [direction('depth', chroma > 0, ['deeper', 'paler'], Math.hypot(...sizes)), hue]
  const isClean = (parts.chromaA + parts.chromaB) / 2 >= cleanFrom
  const words = isClean ? (['cleaner', 'dirtier'] as const) : (['more colourful', 'greyer'] as const)
  return [lightnessDirection(parts), hue, direction('chroma', chroma > 0, words, chroma)]
}

/**
 * How the candidate differs from the reference, direction by direction, the largest first; only what can be seen.
 * @param reference, candidate  CIELAB under the same white and observer, finite
 * @returns  empty when the whole difference is below 0.5 dE00. Swapping the two swaps every word with its opposite
 *           and changes nothing else.
 * Source of the directions and their weights: ISO/CIE 11664-6:2014, ΔL′/SL, ΔC′/SC, ΔH′/SH.
 */
export function differenceWords(reference: Lab, candidate: Lab): DifferenceWord[] {
  const parts = differenceParts(reference, candidate)
  if (!(parts.de00 >= visibleFrom)) return []
  const directions = directionsOf(reference, candidate, parts).toSorted((a, b) => b.de00 - a.de00)
  const seen = directions.flatMap((d) => {
    const grade = gradeOf(d.de00)
    return grade === null ? [] : [{ ...d, grade }]
  })
  // each direction may be below the threshold where the whole is not: then the largest is named
  return seen.length > 0 ? seen : [{ ...directions[0]!, grade: 'touch' }]
}

/** The same as a sentence: "Clearly greener, a little darker". */
export function describeDifference(reference: Lab, candidate: Lab): string {
  const words = differenceWords(reference, candidate)
  if (words.length === 0) return noDifference
  const text = words.map(({ grade, word }) => `${gradeText[grade]} ${word}`).join(', ')
  return text.slice(0, 1).toUpperCase() + text.slice(1)
}
