import type { AmountUnit, Basis, Mixture, Part } from '../records/mixture.ts'
import { isPlainName } from './formula-atoms.ts'
import { nameKey } from './material-names.ts'
import { type Decimal, formatShort } from './units.ts'

export type WordsOptions = {
  decimal: Decimal
  /** Puts names that could be misread (with figures, "and", "in") in quotation marks, and keeps every decimal. */
  forTyping?: boolean
}

/** Thirds read better as fractions, and mean the same number when they are typed again. */
function amountInWords(amount: number, { decimal, forTyping }: WordsOptions): string {
  const whole = Math.floor(amount)
  for (const [part, words] of [
    [1 / 3, '1/3'],
    [2 / 3, '2/3'],
  ] as const) {
    if (whole + part === amount) return whole === 0 ? words : `${whole} ${words}`
  }
  if (!forTyping) return formatShort(amount, 3, decimal) === '0' ? String(amount) : formatShort(amount, 3, decimal)
  const exact = String(amount).includes('e') ? amount.toFixed(20).replace(/0+$/u, '') : String(amount)
  return decimal === 'comma' ? exact.replace('.', ',') : exact
}

const basisWords: Record<Basis, string> = { volume: 'by volume', mass: 'by mass' }

const nameInWords = (name: string, options: WordsOptions): string => {
  if (!options.forTyping || isPlainName(name)) return name
  return name.includes('"') ? `«${name}»` : `"${name}"`
}

const counted: Record<Exclude<AmountUnit, 'parts'>, string> = {
  'percent-of-total': '% of the total',
  'percent-on-top': '% on top',
  'grams-per-litre': 'g/L',
}

/** Names for the mixtures inside, told apart from each other and from the materials. */
function nameMixtures(mixture: Mixture): Map<Mixture, string> {
  const taken = new Set<string>()
  const names = new Map<Mixture, string>()
  const collect = (each: Mixture): void => {
    for (const part of each.parts) if (part.material) taken.add(nameKey(part.material.name))
    for (const part of each.parts) if (part.mixture) collect(part.mixture)
  }
  const give = (each: Mixture): void => {
    for (const { mixture: inner } of each.parts) {
      if (!inner) continue
      const wanted = inner.name.trim() || 'blend'
      let name = wanted
      for (let count = 2; taken.has(nameKey(name)); count++) name = `${wanted} ${count}`
      taken.add(nameKey(name))
      names.set(inner, name)
      give(inner)
    }
  }
  collect(mixture)
  give(mixture)
  return names
}

/** "4 teal in 1 carrier": two parts, and the second carries. */
const isCarried = (parts: readonly Part[]): boolean => parts.length === 2 && parts[1]?.material?.kind === 'carrier'

/** One mixture as clauses: its ratio first, then what is counted from the whole. */
function clausesOf(mixture: Mixture, names: Map<Mixture, string>, options: WordsOptions): string[] {
  const called = (part: Part): string =>
    nameInWords(part.material?.name ?? (part.mixture ? (names.get(part.mixture) ?? 'blend') : ''), options)
  const measured = (part: Part): string => `${amountInWords(part.amount, options)} ${called(part)}`
  const parts = mixture.parts.filter((part) => part.unit === 'parts')
  const extras = mixture.parts.filter((part) => part.unit !== 'parts')
  const extraInWords = (part: Part): string =>
    part.unit === 'parts'
      ? measured(part)
      : `${called(part)} ${amountInWords(part.amount, options)} ${counted[part.unit]}`
  const [first, second] = parts
  const [powder, ...others] = extras
  if (first && !second && first.amount === 1) {
    if (first.material?.kind === 'carrier' && powder?.unit === 'grams-per-litre') {
      return [
        `${amountInWords(powder.amount, options)} g/L ${called(powder)} in ${called(first)}`,
        ...others.map(extraInWords),
      ]
    }
    return [`${called(first)} straight`, ...extras.map(extraInWords)]
  }
  const ratio =
    first && second && isCarried(parts) ? `${measured(first)} in ${measured(second)}` : parts.map(measured).join(' : ')
  return [...(ratio === '' ? [] : [ratio]), ...extras.map(extraInWords)]
}

/**
 * A formula in words, a line for each ratio, innermost first: "4 copper : 1 crimson, by volume", "1 blend in 6 carrier, by
 * volume", "reducer 5 % on top". `parseFormula` reads the lines back as the same mixture (with `forTyping` for any name).
 * Parts come first and percentages after them, whatever their order in the cup.
 */
export function formulaInWords(mixture: Mixture, options: WordsOptions): string[] {
  const names = nameMixtures(mixture)
  const lines: string[] = []
  const define = (inner: Mixture): void => {
    for (const part of inner.parts) if (part.mixture) define(part.mixture)
    const name = nameInWords(names.get(inner) ?? 'blend', options)
    lines.push(`${name} = ${[...clausesOf(inner, names, options), basisWords[inner.basis]].join(', ')}`)
  }
  const lead = mixture.parts[0]?.unit === 'parts' ? (mixture.parts[0].mixture ?? null) : null
  // The blend that the last line starts with needs no name before it, if it is a plain ratio; a second “in” would not be.
  const isBare =
    lead !== null &&
    names.get(lead) === 'blend' &&
    lead.parts.length > 1 &&
    lead.parts.every((part) => part.unit === 'parts' && part.material) &&
    !isCarried(lead.parts) &&
    mixture.parts.filter((part) => part.unit === 'parts').length > 1
  for (const part of mixture.parts) {
    if (part.mixture && !(isBare && part.mixture === lead)) define(part.mixture)
  }
  if (isBare) lines.push([...clausesOf(lead, names, options), basisWords[lead.basis]].join(', '))
  const [ratio = '', ...extras] = clausesOf(mixture, names, options)
  return [...lines, `${ratio}, ${basisWords[mixture.basis]}`, ...extras]
}

/**
 * A formula on one line: "4:1 copper + crimson in 6:1 carrier, reducer 5 % on top". Mixtures deeper inside stand in
 * brackets. The basis is named where it is mass, or where it changes.
 */
export function formulaInShort(mixture: Mixture, options: WordsOptions): string {
  const ratioOf = (parts: readonly Part[], basis: Basis): string => {
    const [only] = parts
    if (!only) return ''
    if (parts.length === 1) return called(only, basis)
    const figures = parts.map((part) => amountInWords(part.amount, options)).join(':')
    return `${figures} ${parts.map((part) => called(part, basis)).join(' + ')}`
  }
  const called = (part: Part, outer: Basis): string =>
    part.material ? nameInWords(part.material.name, options) : part.mixture ? `(${whole(part.mixture, outer)})` : ''
  const carry = (blend: string, first: Part, second: Part, basis: Basis): string => {
    const [own, carrier] = [amountInWords(first.amount, options), amountInWords(second.amount, options)]
    const into = called(second, basis)
    // "1:4 carrier" would be misread where the carrier is the smaller share.
    if (second.amount >= first.amount) return `${blend} in ${carrier}:${own} ${into}`
    return first.mixture ? `${blend}, ${carrier} ${into} to ${own} blend` : `${own} ${blend} in ${carrier} ${into}`
  }
  const whole = (each: Mixture, outer: Basis): string => {
    const parts = each.parts.filter((part) => part.unit === 'parts')
    const [first, second, third] = parts
    const carried = first && second?.material?.kind === 'carrier' && !third ? { first, second } : null
    const said = each.basis === outer ? '' : ` ${basisWords[each.basis]}`
    const inner = carried?.first.mixture
    const blend = carried
      ? inner
        ? whole(inner, each.basis)
        : called(carried.first, each.basis)
      : ratioOf(parts, each.basis)
    const ratio = carried ? carry(blend, carried.first, carried.second, each.basis) : blend
    const extras = each.parts.flatMap((part) =>
      part.unit === 'parts'
        ? []
        : [`${called(part, each.basis)} ${amountInWords(part.amount, options)} ${counted[part.unit]}`],
    )
    return `${[...(ratio === '' ? [] : [ratio]), ...extras].join(', ')}${said}`
  }
  const changes = hasOtherBasis(mixture, mixture.basis)
  const words = whole(mixture, mixture.basis)
  return mixture.basis === 'mass' || changes ? `${words} ${basisWords[mixture.basis]}` : words
}

const hasOtherBasis = (mixture: Mixture, basis: Basis): boolean =>
  mixture.parts.some((part) => part.mixture && (part.mixture.basis !== basis || hasOtherBasis(part.mixture, basis)))
