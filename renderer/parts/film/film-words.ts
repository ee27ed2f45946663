import { formatShort } from '../../../shared-core/mix/units.ts'
import type {
  FilmKnowledge,
  PlanFormula,
  PlanRecipe,
  Prediction,
  SuggestLimits,
} from '../../../shared-core/records/film.ts'
import type { Mixture, Part } from '../../../shared-core/records/mixture.ts'
import type { Settings } from '../../../shared-core/records/settings.ts'
import { decimalSign } from '../say-numbers.ts'
import { coatsInWords } from '../strokes.tsx'

type Decimal = Pick<Settings, 'decimal'>
const figure = (value: number, settings: Decimal): string => formatShort(value, 2, decimalSign(settings))

/** Whether any panel of it was read: of the rest nothing is known. */
export const isRead = ({ stepCount }: { stepCount: number }): boolean => stepCount > 0

const called = (list: readonly { id: string; name: string }[], id: string, otherwise: string): string =>
  list.find((each) => each.id === id)?.name ?? otherwise

export const candyName = (knows: FilmKnowledge, id: string): string => called(knows.candies, id, 'an unknown candy')
export const groundName = (knows: FilmKnowledge, id: string): string => called(knows.grounds, id, id)
export const midCoatName = (knows: FilmKnowledge, id: string): string => called(knows.midCoats, id, id)

/** "4 Tidewater : 1 Juniper", or the candy's name alone. */
export function blendInWords({ candies }: PlanFormula, knows: FilmKnowledge, settings: Decimal): string {
  const [only, second] = candies
  if (!only) return 'No candy'
  if (!second) return candyName(knows, only.id)
  return candies.map(({ id, parts }) => `${figure(parts, settings)} ${candyName(knows, id)}`).join(' : ')
}

/** "in 6 carrier", "straight". */
export const carrierInWords = ({ carrierParts }: PlanFormula, settings: Decimal): string =>
  carrierParts === 0 ? 'straight' : `in ${figure(carrierParts, settings)} carrier`

/** "reducer 5 % on top", "2 coats of Hoarfrost pearl over it", "before clear": what differs from the usual. */
export function extrasInWords(formula: PlanFormula, knows: FilmKnowledge, settings: Decimal): string[] {
  const { reducerPercent, hardenerPercent, under, over, gunSetupId, finish } = formula
  const gun = gunSetupId === null ? undefined : knows.guns.find(({ id }) => id === gunSetupId)
  return [
    ...(hardenerPercent > 0 ? [`hardener ${figure(hardenerPercent, settings)} % on top`] : []),
    ...(reducerPercent > 0 ? [`reducer ${figure(reducerPercent, settings)} % on top`] : []),
    ...(under ? [`${coatsInWords(under.coats)} of ${midCoatName(knows, under.id)} under it`] : []),
    ...(over ? [`${coatsInWords(over.coats)} of ${midCoatName(knows, over.id)} over it`] : []),
    ...(gun && !gun.usual ? [gun.name] : []),
    ...(finish === 'uncleared' ? ['as sprayed, no clear'] : []),
  ]
}

/** "4 Tidewater : 1 Juniper in 6 carrier, reducer 5 % on top". */
export const formulaInWords = (formula: PlanFormula, knows: FilmKnowledge, settings: Decimal): string =>
  [
    `${blendInWords(formula, knows, settings)} ${carrierInWords(formula, settings)}`,
    ...extrasInWords(formula, knows, settings),
  ].join(', ')

/** "over gold, 4 coats", "bare gold". */
export const overInWords = ({ ground, coats }: Pick<PlanRecipe, 'ground' | 'coats'>, knows: FilmKnowledge): string =>
  coats === 0 ? `bare ${groundName(knows, ground)}` : `over ${groundName(knows, ground)}, ${coatsInWords(coats)}`

/** "2 and 4 coats", "a bare strip, 2 and 4 coats". */
export function stepsInWords(coats: readonly number[]): string {
  const sprayed = coats.filter((count) => count > 0).toSorted((a, b) => a - b)
  const figures =
    sprayed.length > 1
      ? `${sprayed.slice(0, -1).join(', ')} and ${sprayed.at(-1)} coats`
      : coatsInWords(sprayed[0] ?? 0)
  if (sprayed.length === 0) return 'a bare strip'
  return coats.includes(0) ? `a bare strip, ${figures}` : figures
}

export const beyondWords = 'beyond anything sprayed'
export const isBeyond = ({ outside }: Prediction): boolean => outside.extent > 0

/** How far outside, as a heading: what it is beyond stands under it in words. */
export function outsideTitle({ outside: { extent } }: Prediction): string {
  if (extent <= 0) return 'Among what was sprayed'
  if (extent < 0.35) return 'A little beyond anything sprayed'
  return extent < 1 ? 'Beyond anything sprayed' : 'Far beyond anything sprayed'
}

type SetAtGun = Pick<PlanFormula, 'gunSetupId' | 'reducerPercent' | 'hardenerPercent'>

/** "With what is on the shelf: up to 3 candies, 12 parts, 6 coats, 4 to 12 carrier; over all grounds." */
export function limitsInWords(limits: SuggestLimits, formula: SetAtGun, knows: FilmKnowledge): string {
  const { onShelfOnly, useMidCoats, grounds, candies, maxCandies, maxParts, maxCoats, carrierFrom, carrierTo } = limits
  const count = (chosen: string[] | null, all: number, word: string) =>
    chosen === null ? '' : ` ${chosen.length} of ${all} ${word}.`
  const set = [
    ...(formula.gunSetupId === null ? [] : ['gun']),
    ...(formula.reducerPercent > 0 ? ['reducer'] : []),
    ...(formula.hardenerPercent > 0 ? ['hardener'] : []),
  ]
  return [
    `${onShelfOnly ? 'With what is on the shelf' : 'With every candy'}: up to ${maxCandies} ${maxCandies === 1 ? 'candy' : 'candies'}, ${maxParts} parts, ${maxCoats} coats, ${carrierFrom} to ${carrierTo} carrier.`,
    useMidCoats ? ' Mid coats may be used.' : '',
    count(candies, knows.candies.filter(isRead).length, 'candies'),
    count(grounds, knows.grounds.filter(isRead).length, 'grounds'),
    set.length > 0 ? ` With the ${set.join(' and ')} set at the left.` : '',
  ].join('')
}

/** The cup as a mixture, for its shares and its warnings. */
export function mixtureOf(formula: PlanFormula, knows: FilmKnowledge): Mixture | null {
  const { candies, carrierParts, reducerPercent, hardenerPercent } = formula
  const parts = candies.map(
    ({ id, parts: amount }): Part => ({
      amount,
      unit: 'parts',
      material: { id, name: candyName(knows, id), kind: 'concentrate' },
      mixture: null,
    }),
  )
  const [only, second] = parts
  if (!only) return null
  const liquid = (kind: 'carrier' | 'hardener' | 'reducer', amount: number, unit: Part['unit']): Part[] =>
    amount > 0 ? [{ amount, unit, material: { id: null, name: kind, kind }, mixture: null }] : []
  return {
    name: '',
    basis: 'volume',
    parts: [
      second
        ? { amount: 1, unit: 'parts', material: null, mixture: { name: 'blend', basis: 'volume', parts } }
        : { ...only, amount: 1 },
      ...liquid('carrier', carrierParts, 'parts'),
      ...liquid('hardener', hardenerPercent, 'percent-on-top'),
      ...liquid('reducer', reducerPercent, 'percent-on-top'),
    ],
  }
}
