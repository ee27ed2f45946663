import type { Input } from '../../../../shared-core/contract/calls.ts'

type Weights = Input<'match.findNearest'>['weights']

/**
 * Parametric factors: of 2, a difference counts half. On a rough or flaked surface lightness is judged less strictly;
 * textile practice weighs it 2 : 1 as the CMC formula of ISO 105-J03 does (from memory). Hue above all: common
 * practice, no source.
 */
export const weightings = [
  { name: 'alike', words: 'all counts alike', ratio: '1 : 1 : 1', ask: undefined },
  { name: 'lightness', words: 'lightness half', ratio: '2 : 1 : 1', ask: { kL: 2, kC: 1, kH: 1 } },
  { name: 'hue', words: 'hue above all', ratio: '2 : 2 : 1', ask: { kL: 2, kC: 2, kH: 1 } },
] as const satisfies readonly { name: string; words: string; ratio: string; ask: Weights }[]

export type WeightName = (typeof weightings)[number]['name']

export const weightingOf = (name: WeightName): (typeof weightings)[number] =>
  weightings.find((one) => one.name === name) ?? weightings[0]

/** What the figures mean then, for one line above the list. */
export function weightWords(name: WeightName): string | null {
  const { ratio } = weightingOf(name)
  if (name === 'alike') return null
  const why =
    name === 'lightness'
      ? 'Lightness counts half, as for textured or flaked work'
      : 'Lightness and strength count half: hue above all'
  return `${why}: these dE00 (${ratio}) are smaller than those elsewhere.`
}
