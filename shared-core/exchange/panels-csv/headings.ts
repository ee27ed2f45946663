import { nameKey } from '../../mix/material-names.ts'
import type { ColumnUse } from '../../records/notebook.ts'
import { yesOrNo } from './cells.ts'
import type { Table } from './table.ts'

/** Headings as people write them, without points and signs, in lower case. The first that fits counts. */
const words: readonly [RegExp, ColumnUse][] = [
  [
    /^(code|no|nr|num|number|id|panel|(panel|chip|card|plate|sample) (code|no|nr|number|id)|chip|plate|sample)$/,
    'code',
  ],
  [/^(title|name|called|colou?r name|panel name|description)$/, 'title'],
  [
    /^(carrier|binder|intercoat|medium|clear|clear (carrier|binder|base)) (parts?|pts|ratio|amount|share)$/,
    'carrier-parts',
  ],
  [/^(parts?|pts|ratio) (of )?(carrier|binder|clear|medium)$/, 'carrier-parts'],
  [/^(carrier|clear carrier|clear binder|binder|medium|intercoat( clear)?)$/, 'carrier'],
  [/^(reducer|thinner|red|reduction)( (percent|pct|on top|grade))*$/, 'reducer'],
  [/^(percent|pct) (reducer|thinner)$/, 'reducer'],
  [/^(hardener|catalyst|activator)( (percent|pct|on top))*$/, 'hardener'],
  [/^(formula|mix|mixture|recipe|blend)$/, 'formula'],
  [/^(candy|candies|colou?rs?|concentrates?|dye|dyes|toner|tint|con|conc)( \d+)?( name)?$/, 'candy'],
  [/^(parts?|pts|ratio|amount)( \d+)?$/, 'parts'],
  [/^(candy|colou?r|concentrate|dye|toner|tint|conc?)( \d+)? (parts?|pts|ratio|amount)( \d+)?$/, 'parts'],
  [/^(parts?|pts) (of )?(candy|colou?r|concentrate|dye|toner|tint)( \d+)?$/, 'parts'],
  [/^(ground|grounds|ground coat|base|base ?coat|basecoat|over|gnd|bc)$/, 'ground'],
  [/^(under ?coat|under|undercoating)$/, 'undercoat'],
  [/^(sealer|primer)$/, 'sealer'],
  [/^(mid ?coat|pearl|flake|effect)$/, 'mid-coat'],
  [/^((no|nr|number) of )?(candy )?(coats|coat|cts)( of candy)?( no)?$/, 'coats'],
  [/^(steps|passes)$/, 'coats'],
  [/^(cleared|clear ?coated|is cleared|clear y n|clrd|under clear)$/, 'cleared'],
  [/^(clear|clear ?coat|top ?coat|clear name|lacquer|2k)$/, 'clear-name'],
  [/^(sprayed on|sprayed|date|date sprayed|spray date|when|day|shot on|on)$/, 'sprayed-on'],
  [/^(by|sprayed by|who|painter|initials|shot by|hand)$/, 'sprayed-by'],
  [/^(notes?|remarks?|comments?|memo|observations?)$/, 'notes'],
  [/^(tags?|keywords?|labels?|groups?)$/, 'tags'],
  [/^(substrate|panel material|sprayed onto|surface|made of|blank)$/, 'substrate'],
  [/^(status|state)$/, 'status'],
  [/^(gun|spray ?gun|gun set ?up)$/, 'gun'],
  [/^(tip|nozzle|needle|fluid tip|tip size|gun tip)( mm)?$/, 'tip'],
  [/^((inlet|air|gun)? ?pressure|psi|bar|kpa|inlet|air)( (psi|bar|kpa))?$/, 'pressure'],
  [/^(distance|dist|gun distance)( (mm|cm|in|inch|inches))?$/, 'distance'],
  [/^overlap( (percent|pct))?$/, 'overlap'],
  [/^(temp|temperature|booth temp|booth temperature)( (c|f|deg c|deg f))?$/, 'temperature'],
  [/^(humidity|rh|rel humidity)( (percent|pct))?$/, 'humidity'],
  [/^(flash|flash off|flash ?off time|flash time)( (min|minutes))?$/, 'flash-off'],
  [/^(cie ?)?(lab )?l( star)?( \d+( coats?)?)?$/, 'lab-l'],
  [/^(cie ?)?(lab )?a( star)?( \d+( coats?)?)?$/, 'lab-a'],
  [/^(cie ?)?(lab )?b( star)?( \d+( coats?)?)?$/, 'lab-b'],
  [/^(bound|uncertainty|plus minus|de00|de 00|tolerance|error)( de00)?( 90 percent)?$/, 'bound'],
]

const plainHeading = (heading: string): string =>
  heading
    .toLowerCase()
    .replaceAll('±', ' plus minus ')
    .replaceAll('%', ' percent ')
    .replaceAll(/\*|★/gu, ' star ')
    .replaceAll(/^\s*(#|№)\s*$/gu, 'no')
    .replaceAll(/(?<=[a-z])(?=\d)/gu, ' ')
    .replaceAll('de 00', 'de00')
    .replaceAll(/[^\p{L}\p{N}]+/gu, ' ')
    .trim()

/** What a heading says by itself; null when it is not known. */
export function useOfHeading(heading: string): ColumnUse | null {
  const plain = plainHeading(heading)
  return words.find(([known]) => known.test(plain))?.[1] ?? null
}

export const isKnownHeading = (cell: string): boolean => cell.length < 60 && useOfHeading(cell) !== null

/** The number of coats that a heading names ("L* 4 coats"); null when it names none. */
export function coatsOfHeading(heading: string): number | null {
  const found = /\d+/.exec(plainHeading(heading))
  return found ? Number(found[0]) : null
}

/** These may stand over several columns; of the others only the first counts. */
const manifold: readonly ColumnUse[] = [
  'nothing',
  'candy',
  'parts',
  'named-parts',
  'notes',
  'tags',
  'lab-l',
  'lab-a',
  'lab-b',
]

/**
 * What the columns probably are. A column that nothing is known of goes to the notes, under its heading: nothing of the
 * notebook is lost by silence.
 * @param materials  names on the shelf: a heading of such a name stands over its parts
 */
export function proposeUses(table: Table, materials: readonly string[]): ColumnUse[] {
  const shelf = new Set(materials.map(nameKey))
  const uses = table.headings.map((heading, i): ColumnUse => {
    const cells = cellsOf(table, i)
    if (cells.length === 0) return 'nothing'
    if (table.hasHeadings && shelf.has(nameKey(heading)) && cells.every((cell) => /^\D{0,3}\d/.test(cell)))
      return 'named-parts'
    const said = table.hasHeadings ? useOfHeading(heading) : null
    return said === null ? 'notes' : (byCells(said, heading, cells) ?? said)
  })
  const proposed = uses.map((use, i) => (manifold.includes(use) || uses.indexOf(use) === i ? use : 'notes'))
  return withWholeColours(table, proposed)
}

/** "Clear" stands over yes and no, over a name, or over the carrier's parts; "sprayed" and "on" over dates or people. */
function byCells(said: ColumnUse, heading: string, cells: readonly string[]): ColumnUse | null {
  const most = (fits: (cell: string) => boolean, share = 0.7) => cells.filter(fits).length > cells.length * share
  if (said === 'clear-name' || said === 'cleared') {
    const isAnswer = (cell: string) => yesOrNo(cell) !== null && !/^\d/.test(cell)
    if (most(isAnswer, said === 'cleared' ? 0.3 : 0.7)) return 'cleared'
    if (/^\s*clear\s*$/i.test(heading) && most((cell) => /^\d+([.,]\d+)?(\s*:\s*\d+)?$/.test(cell)))
      return 'carrier-parts'
    return 'clear-name'
  }
  if (said === 'carrier' && most((cell) => /^\d+([.,]\d+)?$/.test(cell))) return 'carrier-parts'
  if (said === 'candy' && most((cell) => /\d\s*(:|parts?\b|\bin\b)/i.test(cell))) return 'formula'
  if (said === 'formula' && !cells.some((cell) => /\d/.test(cell))) return 'candy'
  return null
}

/** L, a and b come three at a time, for one number of coats; a lone "a" or "b" is something else. */
function withWholeColours(table: Table, uses: ColumnUse[]): ColumnUse[] {
  const named = (i: number) => `${uses[i]} ${coatsOfHeading(table.headings[i] ?? '')}`
  const present = new Set(uses.map((_, i) => named(i)))
  const used = new Set<string>()
  return uses.map((use, i) => {
    if (use !== 'lab-l' && use !== 'lab-a' && use !== 'lab-b') return use
    const coats = coatsOfHeading(table.headings[i] ?? '')
    const whole = ['lab-l', 'lab-a', 'lab-b'].every((part) => present.has(`${part} ${coats}`))
    if (!whole || used.has(named(i))) return 'notes'
    used.add(named(i))
    return use
  })
}

/** The first cells of a column that are not empty. */
export function cellsOf(table: Table, column: number, most = 200): string[] {
  const cells: string[] = []
  for (const row of table.rows) {
    const cell = row.cells[column]?.trim() ?? ''
    if (cell !== '') cells.push(cell)
    if (cells.length >= most) break
  }
  return cells
}

/** By these a table is known again. */
export const signatureOf = (table: Table): string =>
  table.hasHeadings
    ? table.headings.map((heading) => nameKey(heading)).join('\u001F')
    : `${table.headings.length} columns`
