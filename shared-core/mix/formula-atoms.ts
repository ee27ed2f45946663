import { nameKey } from './material-names.ts'
import { readNumber } from './units.ts'

/** How an amount was typed; `bare` has no unit at all ("4 copper"). */
export type AmountKind = 'bare' | 'parts' | 'percent' | 'grams-per-litre' | 'mL' | 'cL' | 'L' | 'g' | 'fl oz' | 'oz'

/** The words of a formula, read one by one; `at` and `end` are places in the text. */
export type Atom = { at: number; end: number } & (
  | { kind: 'amount'; value: number; unit: AmountKind }
  | { kind: 'ratio'; values: number[] }
  | { kind: 'name'; text: string; known: boolean }
  | { kind: 'coats'; count: number }
  | { kind: 'mist' }
  | { kind: 'basis'; basis: 'volume' | 'mass' }
  | { kind: 'on-top' | 'of-total' | 'straight' | 'in' | 'equal' }
  | { kind: 'over'; words: string }
  | { kind: 'join'; sign: ':' | '+' | ',' | '/' | 'to' }
  | { kind: 'is' }
  | { kind: 'line' }
)

export class FormulaFault extends Error {
  override readonly name = 'FormulaFault'
  readonly at: number
  readonly remedy: string

  constructor(message: string, remedy: string, at: number) {
    super(message)
    this.at = at
    this.remedy = remedy
  }
}

const numberWords = ['one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten']
const numberWord = new RegExp(String.raw`(${numberWords.join('|')}|half)(?![\p{L}\p{N}])`, 'iuy')
const end = String.raw`(?![\p{L}\p{N}])`

const unitForms: readonly [RegExp, AmountKind][] = (
  [
    ['%|percent|per\\s+cent|pct', 'percent'],
    ['g\\s?(?:/|per)\\s?l(?:itre|iter)?|grams?\\s?(?:per|/|a)\\s?(?:a\\s)?(?:l|litre|liter)', 'grams-per-litre'],
    ['ml|cc|millilit(?:re|er)s?', 'mL'],
    ['cl|centilit(?:re|er)s?', 'cL'],
    ['l|lit(?:re|er)s?', 'L'],
    ['g|grams?', 'g'],
    ['fl\\.?\\s?oz|fluid\\sounces?', 'fl oz'],
    ['oz|ounces?', 'oz'],
    ['parts?|pts?', 'parts'],
    ['[x×]', 'bare'],
  ] as const
).map(([form, unit]) => [
  new RegExp(
    String.raw`\s*(?:${form})${end}\.?(?:\s+of(?!\s+(?:the\s+)?(?:total|whole|mix|mixture|cup)${end})${end})?`,
    'iuy',
  ),
  unit,
])

const coatWords = String.raw`(?:(?:medium|wet|full|light|heavy|even|dry)[\s-]+)*`
const coats = new RegExp(
  String.raw`\s*[x×]?\s*${coatWords}(?<twice>(?:cross(?:ed)?|double)[\s-]*)?${coatWords}(?<mist>(?:mist|dust|tack)[\s-]+)?coats?${end}`,
  'iuy',
)
const coatsFirst = new RegExp(
  String.raw`(?<twice>(?:cross(?:ed)?|double)[\s-]*)?coats?\s*[:=]?\s*(?<count>\d+(?:[.,]\d+)?)${end}(?!\s*(?:${coatWords})coats?)`,
  'iuy',
)
type Meaning = Atom extends infer A ? (A extends Atom ? Omit<A, 'at' | 'end'> : never) : never
const meanings: readonly [string, (words: string) => Meaning][] = [
  ['on\\s+top(?:\\s+of\\s+(?:it|all|that|the\\s+(?:mix|mixture|cup)))?', () => ({ kind: 'on-top' })],
  ['of\\s+(?:the\\s+)?(?:total|whole|mix|mixture|finished\\s+mixture|cup)', () => ({ kind: 'of-total' })],
  ['(?:all\\s+)?by\\s+vol(?:ume)?\\.?', () => ({ kind: 'basis', basis: 'volume' })],
  ['(?:all\\s+)?by\\s+(?:mass|weight|wt\\.?)', () => ({ kind: 'basis', basis: 'mass' })],
  ['straight|neat|undiluted|only|just', () => ({ kind: 'straight' })],
  ['equal\\s+parts(?:\\s+of)?', () => ({ kind: 'equal' })],
  ['into|in', () => ({ kind: 'in' })],
  ['over\\s+[^,;/\\n]+?(?=\\s*(?:[,;/\\n]|$|\\sin\\s))', (words: string) => ({ kind: 'over', words: words.trim() })],
  ['and|plus|with', () => ({ kind: 'join', sign: '+' })],
  ['to', () => ({ kind: 'join', sign: 'to' })],
]
const phrases = meanings.map(([form, make]) => ({ form: new RegExp(String.raw`(?:${form})${end}`, 'iuy'), make }))

const signs: Record<string, ':' | '+' | ',' | '/'> = {
  ':': ':',
  '∶': ':',
  '+': '+',
  '&': '+',
  ',': ',',
  '/': '/',
  '·': ',',
}
const blank = /[^\S\n]+|[()[\]]+/uy
const filler = /(?:the|of)(?![\p{L}\p{N}])|[-–—.]/iuy
/** A word of a name; it starts with a letter, so that figures stay amounts. */
const word = /[\p{L}#][\p{L}\p{M}\p{N}'’#.-]*/uy
const quotes: Record<string, string> = { '"': '"', '“': '”', '«': '»', '„': '“' }

const reserved = new Set(
  (
    'in into to with and plus part parts pt pts by straight neat undiluted only just coat coats on of the over equal ' +
    'percent per pct half cross crossed double medium wet full'
  )
    .split(' ')
    .concat(numberWords),
)

const stick = (pattern: RegExp, text: string, at: number): RegExpExecArray | null => {
  pattern.lastIndex = at
  return pattern.exec(text)
}

/** True when a name can stand in a formula without quotation marks and is read as one name again. */
export const isPlainName = (name: string): boolean =>
  /^[\p{L}][\p{L}\p{M}'’]*(?:[ -][\p{L}][\p{L}\p{M}'’]*)*$/u.test(name) &&
  !name
    .toLowerCase()
    .split(/[ -]/u)
    .some((each) => reserved.has(each) || /^(?:oz|ml|cc|cl|l|g|x|grams?|ounces?|lit(?:re|er)s?|fl)$/u.test(each))

/** What shows that a figure before it belongs to an amount, not to a name. */
const countedUnit = /[.,/⁄]\d|\s*(?:%|percent|pct|g\s?\/\s?l|grams?|parts?|ml|g|coats?)(?![\p{L}\p{N}])/iuy
const isWordEdge = (text: string, at: number): boolean => !/^-?[\p{L}\p{N}]/u.test(text.slice(at, at + 3))

/** Reads a formula into atoms. @param names known names, which may contain figures and reserved words */
export function readAtoms(text: string, names: readonly string[]): Atom[] {
  const longestFirst = [...new Set(names.map(nameKey))]
    .filter((name) => /\p{L}/u.test(name) && !reserved.has(name))
    .toSorted((a, b) => b.length - a.length)
  const lower = text.toLowerCase()
  // Lower-casing can change the length of a text in a few scripts; then known names are looked for as typed.
  const folded = lower.length === text.length ? lower : text
  const atoms: Atom[] = []

  const knownAt = (at: number): string | null => {
    if (at > 0 && /[\p{L}\p{N}]/u.test(text[at - 1] ?? '')) return null
    return (
      longestFirst.find((name) => {
        const stop = at + name.length
        if (!folded.startsWith(name, at) || !isWordEdge(text, stop)) return false
        // "silver 2 % on top" is 2 % of silver, also where a "silver 2" is known.
        return !(/\d$/u.test(name) && stick(countedUnit, text, stop))
      }) ?? null
    )
  }
  const amountAt = (at: number): Atom | null => {
    const spelled = stick(numberWord, text, at)?.[1]?.toLowerCase()
    let found = spelled
      ? { value: spelled === 'half' ? 0.5 : numberWords.indexOf(spelled) + 1, end: at + spelled.length }
      : readNumber(text, at)
    if (!found) return null
    const slash = /^\d+(?=\/\d)/u.exec(text.slice(at, found.end))
    const afterName = atoms.at(-1)?.kind === 'name' && /^\s*:/u.test(text.slice(found.end))
    // "6:1/2 coats" and "violet 1/5:1": the stroke stands between two things and is no fraction.
    if (slash && (afterName || stick(coats, text, found.end))) {
      found = { value: Number(slash[0]), end: at + slash[0].length }
    }
    const coat = stick(coats, text, found.end)
    if (coat) {
      const stop = found.end + coat[0].length
      if (coat.groups?.['mist']) return { kind: 'mist', at, end: stop }
      return { kind: 'coats', count: found.value * (coat.groups?.['twice'] ? 2 : 1), at, end: stop }
    }
    for (const [form, unit] of unitForms) {
      const typed = stick(form, text, found.end)
      if (typed) return { kind: 'amount', value: found.value, unit, at, end: found.end + typed[0].length }
    }
    return { kind: 'amount', value: found.value, unit: 'bare', at, end: found.end }
  }
  const nameAt = (at: number): Atom | null => {
    let stop = at
    for (;;) {
      const gap = stop === at ? 0 : (/^ +/u.exec(text.slice(stop))?.[0].length ?? -1)
      if (gap < 0 || (stop > at && knownAt(stop + gap))) break
      const found = stick(word, text, stop + gap)?.[0].replace(/[.-]+$/u, '')
      if (!found || reserved.has(found.toLowerCase())) break
      if (stop > at && phrases.some(({ form }) => stick(form, text, stop + gap))) break
      stop += gap + found.length
    }
    if (stop === at) return null
    return { kind: 'name', text: text.slice(at, stop), known: false, at, end: stop }
  }
  const quotedAt = (at: number): Atom | null => {
    const close = quotes[text[at] ?? '']
    const stop = close ? text.indexOf(close, at + 1) : -1
    if (stop < 0 || text.slice(at + 1, stop).trim() === '') return null
    return { kind: 'name', text: text.slice(at + 1, stop), known: true, at, end: stop + 1 }
  }
  const phraseAt = (at: number): Atom | null => {
    for (const { form, make } of phrases) {
      const found = stick(form, text, at)
      if (found) return { ...make(found[0]), at, end: at + found[0].length }
    }
    return null
  }
  const coatsFirstAt = (at: number): Atom | null => {
    const found = stick(coatsFirst, text, at)
    if (!found) return null
    const count = Number((found.groups?.['count'] ?? '').replace(',', '.')) * (found.groups?.['twice'] ? 2 : 1)
    return { kind: 'coats', count, at, end: at + found[0].length }
  }

  let at = 0
  while (at < text.length) {
    const sign = text[at] ?? ''
    const known = knownAt(at)
    const gap = known ? null : stick(blank, text, at)
    if (gap) {
      at += gap[0].length
      continue
    }
    const place = { at, end: at + 1 }
    const joint = signs[sign]
    const read: Atom | null = known
      ? { kind: 'name', text: text.slice(at, at + known.length), known: true, at, end: at + known.length }
      : sign === '\n' || sign === ';'
        ? { kind: 'line', ...place }
        : sign === '='
          ? { kind: 'is', ...place }
          : joint
            ? { kind: 'join', sign: joint, ...place }
            : (quotedAt(at) ?? amountAt(at) ?? coatsFirstAt(at) ?? phraseAt(at))
    const skip = read ? null : stick(filler, text, at)
    if (skip) {
      at += skip[0].length
      continue
    }
    const atom = read ?? nameAt(at)
    if (!atom) {
      throw new FormulaFault(
        `“${/^\S+/u.exec(text.slice(at))?.[0] ?? sign}” is not understood.`,
        'Write the formula like “4:1 copper + crimson, in 6:1 carrier, 4 coats”.',
        at,
      )
    }
    atoms.push(atom)
    at = atom.end
  }
  return joinRatios(joinNames(atoms, text))
}

/** "dark copper" beside a known "copper" is one new name; two known names side by side stay two. */
function joinNames(atoms: readonly Atom[], text: string): Atom[] {
  const joined: Atom[] = []
  for (const atom of atoms) {
    const last = joined.at(-1)
    const touching = last?.kind === 'name' && atom.kind === 'name' && /^ +$/u.test(text.slice(last.end, atom.at))
    if (touching && !(last.known && atom.known)) {
      joined[joined.length - 1] = { ...last, text: text.slice(last.at, atom.end), known: false, end: atom.end }
    } else joined.push(atom)
  }
  return joined
}

/** "4:1", "4 to 1", "4 : 1 : 0.5", "4 parts to 1": figures with nothing but a colon or "to" between them. */
function joinRatios(atoms: readonly Atom[]): Atom[] {
  const joined: Atom[] = []
  for (const atom of atoms) {
    const colon = joined.at(-1)
    const before = joined.at(-2)
    const isPart = atom.kind === 'amount' && (atom.unit === 'bare' || atom.unit === 'parts')
    if (isPart && colon?.kind === 'join' && (colon.sign === ':' || colon.sign === 'to') && before) {
      if (before.kind === 'ratio') {
        joined.splice(-2, 2, { ...before, values: [...before.values, atom.value], end: atom.end })
        continue
      }
      if (before.kind === 'amount' && (before.unit === 'bare' || before.unit === 'parts')) {
        joined.splice(-2, 2, { kind: 'ratio', values: [before.value, atom.value], at: before.at, end: atom.end })
        continue
      }
    }
    joined.push(atom)
  }
  return joined
}
