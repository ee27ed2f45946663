import type { Basis, Mixture, Part } from '../records/mixture.ts'
import { FormulaFault, readAtoms } from './formula-atoms.ts'
import type { Pending } from './formula-cup.ts'
import { FormulaReader } from './formula-reader.ts'
import { formulaInWords } from './formula-words.ts'
import { coatsWarnings, mixtureWarnings } from './limits.ts'
import { type KnownName, Shelf } from './material-names.ts'
import type { Decimal } from './units.ts'

export type ParsedFormula =
  | {
      ok: true
      mixture: Mixture
      /** A cross coat is two; null when none were named. */
      coats: number | null
      /** Neither volume nor mass was said, and volume was taken: the form asks. */
      basisAssumed: boolean
      /** The formula said back in words. */
      understood: string
      /** Whole sentences: what was left out or read one of several ways, and limits of the trade. */
      warnings: string[]
    }
  | { ok: false; message: string; remedy: string /** Place in the text, from 0. */; at: number }

export type FormulaOptions = {
  /** Materials of the shelf (or bare names): they may contain figures, and are told apart without commas. */
  known: readonly KnownName[]
  decimal?: Decimal
}

/** The longest that a cup of sixty parts is said in takes about half of it; a table may hold thousands of them. */
const mostLetters = 4000
const tooLong: ParsedFormula = {
  ok: false,
  message: 'This is longer than any formula.',
  remedy: 'Keep the formula alone, and put everything else into the notes.',
  at: mostLetters,
}

/** In front of an equals sign: a name, in quotation marks or without. Its ends are no blanks, so that it is looked at once. */
const defined = /^["“«„]?([^"“”«»„]+)["”»“]?$/u

/** Definition names ("base mix = …"), which are then read as names wherever they stand. */
function definedNames(text: string): string[] {
  const names: string[] = []
  for (const line of text.split(/[\n;]/)) {
    const end = line.indexOf('=')
    const name = end < 0 ? undefined : defined.exec(line.slice(0, end).trim())?.[1]?.trim()
    if (name) names.push(name)
  }
  return names
}

/** Fills in what was not said: an inner mixture takes the basis of the one it goes into, and the other way round. */
function settle(pending: Pending, inherited: Basis | null): Mixture {
  const basis = pending.basis ?? inherited ?? innerBasis(pending) ?? 'volume'
  const parts = pending.parts.map(
    ({ amount, unit, content }): Part => ({
      amount,
      unit,
      material: 'parts' in content ? null : content,
      mixture: 'parts' in content ? settle(content, basis) : null,
    }),
  )
  return { name: pending.name, basis, parts }
}

function innerBasis(pending: Pending): Basis | null {
  for (const { content } of pending.parts) {
    const found = 'parts' in content ? (content.basis ?? innerBasis(content)) : null
    if (found) return found
  }
  return null
}

/**
 * Understands a formula as painters write it: "4:1 copper + crimson, in 6:1 carrier, 4 coats", "copper 4 crimson 1 in 6 to
 * 1 carrier", "3 parts teal, 1 part violet / 5:1 / 3 coats, 10% reducer on top", "teal straight in 6:1, 2 cross coats",
 * "25 g/L pearl in carrier", amounts in mL or g, and the lines of `formulaInWords`.
 *
 * In "in 6:1 carrier" the first figure is the carrier's. Percentages and grams per litre belong to the finished mixture,
 * except in a line "name = …". Without a word about it amounts are by volume and `basisAssumed` is true. A decimal comma
 * stands between two digits; a comma followed by a space separates.
 * @returns the mixture, or what is not understood, how to write it, and where; never throws for any text
 */
export function parseFormula(text: string, options: FormulaOptions): ParsedFormula {
  if (text.length > mostLetters) return tooLong
  const shelf = new Shelf(options.known)
  try {
    const atoms = readAtoms(text, [...definedNames(text), ...shelf.names])
    const reader = new FormulaReader(atoms, text.length, shelf)
    const pending = reader.read()
    const basisAssumed = (pending.basis ?? innerBasis(pending)) === null
    const mixture = settle(pending, null)
    const { coats } = reader
    const lines = formulaInWords(mixture, { decimal: options.decimal ?? 'point' })
    if (basisAssumed) lines.push('volume was assumed')
    if (coats !== null) lines.push(coats === 1 ? '1 coat' : `${coats} coats`)
    const warnings = [...reader.warnings, ...mixtureWarnings(mixture), ...coatsWarnings(coats)]
    return { ok: true, mixture, coats, basisAssumed, understood: lines.join('; '), warnings }
  } catch (fault) {
    if (fault instanceof FormulaFault) return { ok: false, message: fault.message, remedy: fault.remedy, at: fault.at }
    throw fault
  }
}
