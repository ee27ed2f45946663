import { massOf, volumeOf } from '../../../../shared-core/mix/cup/density.ts'
import { fromNumber, toNumber } from '../../../../shared-core/mix/rational.ts'
import { isPowder, readStock, sayStock, stockBasis } from '../../../../shared-core/mix/stock.ts'
import {
  formatNumber,
  formatQuantity,
  formatShort,
  parseNumber,
  parseQuantity,
} from '../../../../shared-core/mix/units.ts'
import type { Material } from '../../../../shared-core/records/mixture.ts'
import type { Said } from '../../../parts/field-error.tsx'
import type { Wording } from '../../mix/say-amounts.ts'
import { asKind } from '../kinds-in-words.ts'
import { costUnit } from '../stock-words.ts'

/** What can be written down about a material: how each is shown, and how what was typed is understood. */

export type Known = Pick<
  Material,
  | 'name'
  | 'kind'
  | 'makerName'
  | 'batch'
  | 'openedOn'
  | 'reorderAt'
  | 'densityKgPerL'
  | 'volumeSolidsPercent'
  | 'costPerL'
  | 'potLifeMin'
  | 'flakeMicron'
  | 'isocyanate'
  | 'dataSheet'
  | 'notes'
>
export type FactKey = keyof Known
export type ReadFact = { ok: true; value: Partial<Known> } | ({ ok: false } & Said)

type Fact = {
  show: (material: Material, wording: Wording) => string
  /** `known`: with what else was typed beside it. */
  read: (text: string, wording: Wording, known: Material) => ReadFact
}

const is = (value: Partial<Known>): ReadFact => ({ ok: true, value })
const wrong = (message: string, remedy: string): ReadFact => ({ ok: false, message, remedy })

const words = (key: 'makerName' | 'batch' | 'dataSheet' | 'notes'): Fact => ({
  show: (material) => material[key],
  read: (text) => is({ [key]: key === 'notes' ? text : text.trim() }),
})

/** A field that may be left empty: nothing is known then. */
const maybe = (
  key: FactKey,
  show: (value: number, wording: Wording, material: Material) => string,
  read: Fact['read'],
): Fact => ({
  show: (material, wording) => (material[key] === null ? '' : show(Number(material[key]), wording, material)),
  read: (text, wording, known) => (text.trim() === '' ? is({ [key]: null }) : read(text, wording, known)),
})

const quantity = (key: 'densityKgPerL' | 'flakeMicron', measure: 'density' | 'thickness', most: number): Fact =>
  maybe(
    key,
    (value, { system, decimal }) =>
      // the trade gives flake in micrometres everywhere (common practice, no source)
      formatQuantity(value, measure, measure === 'thickness' ? 'metric' : system, decimal),
    (text, { system }) => {
      const read = parseQuantity(text, measure, measure === 'thickness' ? 'metric' : system)
      if (!read.ok) return wrong(read.message, read.remedy)
      return read.value <= most
        ? is({ [key]: read.value })
        : wrong('That is more than there is.', 'Look at the unit: write it behind the number.')
    },
  )

/** "90", "90 min", "1.5 h", "1 h 30 min", "2 days". */
export function readMinutes(text: string): number | null {
  const typed = text.trim().toLowerCase()
  // no time takes so many letters, and the pattern below would go through them again and again
  if (typed.length > 60) return null
  const plain = parseNumber(typed)
  if (plain !== null) return plain > 0 ? plain : null
  const found =
    /^(?:(?<days>[\d.,/½¼¾ ]+?)\s*d(?:ays?)?)?\s*(?:(?<hours>[\d.,/½¼¾ ]+?)\s*h(?:ours?|r|rs)?)?\s*(?:(?<minutes>[\d.,/½¼¾ ]+?)\s*m(?:in(?:utes?|s)?)?)?$/u.exec(
      typed,
    )?.groups
  if (!found) return null
  let sum = 0
  for (const [name, minutes] of [
    ['days', 1440],
    ['hours', 60],
    ['minutes', 1],
  ] as const) {
    const said = found[name]
    const value = said === undefined ? 0 : parseNumber(said)
    if (value === null) return null
    sum += value * minutes
  }
  return sum > 0 ? sum : null
}

export function minutesInWords(minutes: number, { decimal }: Wording): string {
  const hours = Math.floor(minutes / 60)
  const rest = formatShort(minutes - hours * 60, 1, decimal)
  if (hours < 2) return `${formatShort(minutes, 1, decimal)} min`
  return rest === '0' ? `${hours} h` : `${hours} h ${rest} min`
}

/** The mark in the basis that the material is counted in. */
function readMark(text: string, { system }: Wording, known: Material): ReadFact {
  const basis = stockBasis(known)
  const read = readStock(text, basis, system)
  if (!read.ok) return wrong(read.message, read.remedy)
  if (read.amount === 0) return wrong('A mark has to be more than 0.', 'Leave it empty for no mark.')
  if (read.basis === basis) return is({ reorderAt: read.amount })
  if (known.densityKgPerL === null)
    return wrong(
      `It is counted by ${basis}, and its density is not known.`,
      `Write the mark by ${basis}, or its density beside it.`,
    )
  const other = basis === 'mass' ? massOf : volumeOf
  return is({ reorderAt: toNumber(other(fromNumber(read.amount), known.densityKgPerL)) })
}

export const facts: Readonly<Record<FactKey, Fact>> = {
  name: {
    show: ({ name }) => name,
    read: (text) =>
      text.trim() === '' ? wrong('A material needs a name.', 'Write what you call it.') : is({ name: text.trim() }),
  },
  kind: { show: ({ kind }) => kind, read: (text) => is({ kind: asKind(text) }) },
  makerName: words('makerName'),
  batch: words('batch'),
  openedOn: { show: ({ openedOn }) => openedOn ?? '', read: (text) => is({ openedOn: text === '' ? null : text }) },
  reorderAt: maybe(
    'reorderAt',
    (value, { system, decimal }, material) => sayStock(value, stockBasis(material), system, decimal),
    readMark,
  ),
  densityKgPerL: quantity('densityKgPerL', 'density', 25),
  volumeSolidsPercent: maybe(
    'volumeSolidsPercent',
    (value, { decimal }) => formatShort(value, 2, decimal),
    (text) => {
      const read = parseNumber(text.replace(/%\s*$/u, ''))
      return read !== null && read >= 0 && read <= 100
        ? is({ volumeSolidsPercent: read })
        : wrong('That is no share of 100.', 'Write a number from 0 to 100.')
    },
  ),
  costPerL: maybe(
    'costPerL',
    (value, wording) => formatNumber(value * costUnit(wording).litres, 2, wording.decimal),
    (text, wording) => {
      const read = parseNumber(text)
      return read !== null && read >= 0
        ? is({ costPerL: read / costUnit(wording).litres })
        : wrong('That is no price.', 'Write a number alone: 48.50.')
    },
  ),
  potLifeMin: maybe(
    'potLifeMin',
    (value, wording) => minutesInWords(value, wording),
    (text) => {
      const read = readMinutes(text)
      return read !== null && read <= 100_000
        ? is({ potLifeMin: read })
        : wrong('That is no time.', 'Write it like 90 min or 2 h.')
    },
  ),
  flakeMicron: quantity('flakeMicron', 'thickness', 10_000),
  isocyanate: {
    show: ({ isocyanate }) => (isocyanate === null ? '' : isocyanate ? 'yes' : 'no'),
    read: (text) => is({ isocyanate: text === '' ? null : text === 'yes' }),
  },
  dataSheet: words('dataSheet'),
  notes: words('notes'),
}

/** Fields that say nothing of a kind are left out, unless something stands in them. */
export function isAskedOf(key: FactKey, { kind, ...material }: Material): boolean {
  if (key === 'flakeMicron') return isPowder({ kind }) || material.flakeMicron !== null
  if (key === 'potLifeMin')
    return !['concentrate', 'reducer', 'pearl', 'flake'].includes(kind) || material.potLifeMin !== null
  if (key === 'isocyanate') return (!isPowder({ kind }) && kind !== 'reducer') || material.isocyanate !== null
  return true
}
