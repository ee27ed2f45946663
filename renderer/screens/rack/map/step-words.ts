import type { Settings } from '../../../../shared-core/records/settings.ts'
import { countInWords } from '../../../parts/say-numbers.ts'
import { coatsInWords } from '../../../parts/strokes.tsx'
import type { MapGap } from './geometry/gaps.ts'
import { lchInWords, wordOf } from './geometry/hue-words.ts'
import { labOf, type MapSteps, type Slice, sliceWidth } from './geometry/steps.ts'

type Decimal = Pick<Settings, 'decimal'>

/** "P-0042 Teal over gold, 4 coats, L* 40, C* 60, h 190, blue-green" */
export function stepInWords(steps: MapSteps, row: number, settings: Decimal): string {
  const lab = labOf(steps, row)
  const panel = steps.panel[row]!
  const name = `${steps.codes[panel]} ${steps.titles[panel]}`.trim()
  return [name, coatsInWords(steps.coats[row]!), lchInWords(lab, settings), wordOf(lab)].join(', ')
}

/** "40–60", "all". */
export function sliceInWords({ middle }: Slice, between = '–'): string {
  if (middle === null) return 'all'
  return `${Math.max(0, middle - sliceWidth / 2)}${between}${Math.min(100, middle + sliceWidth / 2)}`
}

/** "Red to magenta", or "Within red". */
export function gapName(steps: MapSteps, { sides: [one, other] }: MapGap): string {
  const [from, to] = [wordOf(labOf(steps, one)), wordOf(labOf(steps, other))]
  if (from === to) return `Within ${from}`
  return `${from.slice(0, 1).toUpperCase()}${from.slice(1)} to ${to}`
}

/** "Nothing sprayed near L* 40, C* 60, h 350." */
export const gapInWords = (gap: MapGap, settings: Decimal): string =>
  `Nothing sprayed near ${lchInWords(gap, settings)}`

const counted = (count: number, one: string): string => (count === 1 ? `1 ${one}` : `${countInWords(count)} ${one}s`)
export const countPanels = (count: number): string => counted(count, 'panel')
export const countSteps = (count: number): string => counted(count, 'colour')
