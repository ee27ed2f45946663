import { type DifferenceParts, differenceParts } from './difference.ts'
import type { Lab } from './lab.ts'

export type Grade = 'trace' | 'little' | 'clear' | 'much'

/** One direction in which the candidate differs, and the word for the way back. */
export type DifferenceWord = {
  readonly axis: 'lightness' | 'chroma' | 'hue'
  readonly grade: Grade
  readonly word: string
  readonly opposite: string
  /** How far, in dE00. */
  readonly de00: number
}

/**
 * In dE00: below the first nothing can be seen, then a trace, a little, clearly, much.
 * Common practice, no source: 1 is about the least difference that a trained eye sees on swatches that touch.
 */
const grades: readonly (readonly [from: number, grade: Grade])[] = [
  [5, 'much'],
  [2, 'clear'],
  [1, 'little'],
  [0.5, 'trace'],
]
const visibleFrom = 0.5

const gradeText: Record<Grade, string> = { trace: 'a trace', little: 'a little', clear: 'clearly', much: 'much' }

export const noDifference = 'No difference that can be seen'

/**
 * C′ below which a colour counts as near neutral, and from which one beside it is coloured (common practice, no source).
 */
const neutralBelow = 5
const colouredFrom = 10
/** C′ from which painters call more and less chroma cleaner and dirtier (common practice, no source). */
const cleanFrom = 20

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

function lightnessDirection(parts: DifferenceParts): Direction {
  const [up, down] = ['lighter', 'darker']
  const isUp = parts.lightness > 0
  return {
    axis: 'lightness',
    word: isUp ? up : down,
    opposite: isUp ? down : up,
    de00: Math.abs(parts.lightness),
  }
}

/** Two near neutrals have no hue: the direction in the a, b plane is named, with a second word when it leans. */
function neutralDirections(reference: Lab, candidate: Lab, parts: DifferenceParts): Direction[] {
  const da = candidate.a - reference.a
  const db = candidate.b - reference.b
  const whole = chromaticDe00(parts)
  const long = Math.hypot(da, db)
  if (long === 0) return []
  const redGreen: Direction = {
    axis: 'hue',
    word: da > 0 ? 'redder' : 'greener',
    opposite: da > 0 ? 'greener' : 'redder',
    de00: (whole * Math.abs(da)) / long,
  }
  const yellowBlue: Direction = {
    axis: 'hue',
    word: db > 0 ? 'yellower' : 'bluer',
    opposite: db > 0 ? 'bluer' : 'yellower',
    de00: (whole * Math.abs(db)) / long,
  }
  return Math.abs(da) >= Math.abs(db) ? [redGreen, yellowBlue] : [yellowBlue, redGreen]
}

/** The part of a difference that is not lightness. */
function chromaticDe00(parts: DifferenceParts): number {
  return Math.sqrt(Math.max(0, parts.chroma ** 2 + parts.hue ** 2 + parts.both))
}

function chromaticDirections(reference: Lab, candidate: Lab, parts: DifferenceParts): Direction[] {
  const low = Math.min(parts.chromaA, parts.chromaB)
  const high = Math.max(parts.chromaA, parts.chromaB)
  if (low < neutralBelow && high < colouredFrom) return neutralDirections(reference, candidate, parts)

  const isMore = parts.chroma > 0
  if (low < neutralBelow) {
    // a grey against a colour: the colour's own hue says all there is to say
    const coloured = isMore ? candidate : reference
    const name = hueName((Math.atan2(coloured.b, coloured.a) * 180) / Math.PI)
    const more = `more colourful, towards ${name}`
    const less = `greyer, away from ${name}`
    return [{ axis: 'chroma', word: isMore ? more : less, opposite: isMore ? less : more, de00: chromaticDe00(parts) }]
  }

  const [more, less] =
    (parts.chromaA + parts.chromaB) / 2 >= cleanFrom ? ['cleaner', 'dirtier'] : ['more colourful', 'greyer']
  const { back, on } = hueWords(parts.meanHue)
  const isOn = parts.hue > 0
  return [
    { axis: 'hue', word: isOn ? on : back, opposite: isOn ? back : on, de00: Math.abs(parts.hue) },
    { axis: 'chroma', word: isMore ? more : less, opposite: isMore ? less : more, de00: Math.abs(parts.chroma) },
  ]
}

/**
 * How the candidate differs from the reference, direction by direction: lightness, hue, chroma; only what can be seen.
 * @param reference, candidate  CIELAB under the same white and observer, finite
 * @returns  empty when the whole difference is below 0.5 dE00. Swapping the two swaps every word with its opposite
 *           and changes nothing else.
 */
export function differenceWords(reference: Lab, candidate: Lab): DifferenceWord[] {
  const parts = differenceParts(reference, candidate)
  if (!(parts.de00 >= visibleFrom)) return []
  const directions = [lightnessDirection(parts), ...chromaticDirections(reference, candidate, parts)]
  const seen = directions.flatMap((d) => {
    const grade = gradeOf(d.de00)
    return grade === null ? [] : [{ ...d, grade }]
  })
  if (seen.length > 0) return seen
  // each direction is below the threshold but not the whole: the largest is named, the first among equals
  const largest = directions.reduce((best, d) => (d.de00 > best.de00 ? d : best))
  return [{ ...largest, grade: 'trace' }]
}

/** The same as a sentence: "A little darker, clearly greener". */
export function describeDifference(reference: Lab, candidate: Lab): string {
  const words = differenceWords(reference, candidate)
  if (words.length === 0) return noDifference
  const text = words.map(({ grade, word }) => `${gradeText[grade]} ${word}`).join(', ')
  return text.slice(0, 1).toUpperCase() + text.slice(1)
}
