import { mixtureWarnings } from '../../mix/limits.ts'
import type { AmountUnit, Basis, MaterialKind, Mixture, Part } from '../../records/mixture.ts'
import { type Cell, figureOf, notUnderstood, short, understood } from './cells.ts'
import type { RowReading } from './reading.ts'

const nothing = /^(-|–|—|none|no|nil|0|0\s*%|straight|n\/?a)$/i

/** What is sprayed as candy in this row: a formula in words, or put together from columns; null where there is none. */
export function mixtureOfRow(row: RowReading): { mixture: Mixture | null; coats: number | null } {
  const formula = formulaOfRow(row) ?? { mixture: pairsOfRow(row), coats: null }
  const blend = formula.mixture
  if (!blend) return formula
  const carried = withCarrier(row, blend)
  const extras = [...percentOf(row, 'reducer'), ...percentOf(row, 'hardener')]
  const mixture = extras.length > 0 ? { ...carried, parts: [...carried.parts, ...extras] } : carried
  if (formula.mixture !== mixture) for (const warning of mixtureWarnings(mixture)) row.warn(null, warning)
  return { mixture, coats: formula.coats }
}

/** A column of formulas, or names and parts that read as one ("4:1" beside "Damson + Bracken"); null where it is neither. */
function formulaOfRow(row: RowReading): { mixture: Mixture | null; coats: number | null } | null {
  const { column, text } = row.one('formula')
  if (column !== undefined && text !== '') return readFormula(row, column, text)
  const [candies, parts] = [row.all.columnsOf('candy'), row.all.columnsOf('parts')]
  const [candy] = candies
  const names = row.cell(candy)
  if (candies.length !== 1 || candy === undefined || names === '' || nothing.test(names)) return null
  const amounts = parts.length === 1 ? row.cell(parts[0]) : ''
  // one name with one figure is a pair like others
  if (amounts === '' ? parts.length === 0 : amounts.includes(':'))
    return readFormula(row, candy, `${amounts} ${names}`.trim())
  return null
}

function readFormula(row: RowReading, column: number, text: string): { mixture: Mixture | null; coats: number | null } {
  const read = row.all.formula(text)
  if (!read.ok) {
    row.unread(column, { message: `“${short(text)}”: ${read.message}`, remedy: read.remedy })
    return { mixture: null, coats: null }
  }
  for (const warning of read.warnings) row.warn(column, warning)
  return {
    mixture: read.basisAssumed ? inBasis(read.mixture, basisFor(row, text, read.mixture)) : read.mixture,
    coats: read.coats,
  }
}

/** A lone material is all there is, by volume as by mass. */
function basisFor(row: RowReading, text: string, mixture: Mixture | null): Basis {
  const { basis } = row.all.plan.answers
  if (basis !== null) {
    if (mixture === null || mixture.parts.length > 1) row.all.ask('basis', text)
    return basis
  }
  if (mixture === null || mixture.parts.length > 1) row.ask('basis', text)
  return 'volume'
}

const inBasis = (mixture: Mixture, basis: Basis): Mixture => ({
  ...mixture,
  basis,
  parts: mixture.parts.map((part) => (part.mixture ? { ...part, mixture: inBasis(part.mixture, basis) } : part)),
})

/** Names with their parts in columns of their own, and columns that are headed by a material. */
function pairsOfRow(row: RowReading): Mixture | null {
  const [candies, parts] = [row.all.columnsOf('candy'), row.all.columnsOf('parts')]
  const found: Part[] = []
  let basis: Basis | null = null
  const add = (name: string, amount: Amount | null, column: number, wanted: MaterialKind | null = null) => {
    if (amount === null) return
    basis = amount.basis ?? basis
    found.push({ amount: amount.value, unit: 'parts', material: materialOf(row, name, column, wanted), mixture: null })
  }
  for (const [i, column] of candies.entries()) {
    const name = row.cell(column)
    if (name === '' || nothing.test(name)) continue
    const amountColumn = parts[i]
    const amount = amountColumn === undefined ? null : row.take(amountColumn, (text) => amountOf(row, text))
    if (amount === null && row.cell(amountColumn) === '') {
      const alone = candies.filter((each) => row.cell(each) !== '').length === 1
      if (alone) add(name, { value: 1, basis: null }, column)
      else
        row.unread(column, {
          message: `How many parts of ${short(name)} is missing.`,
          remedy: 'Write its parts beside it.',
        })
    } else add(name, amount, column)
  }
  for (const column of row.all.columnsOf('named-parts')) {
    const text = row.cell(column)
    if (text !== '' && !nothing.test(text))
      add(
        row.all.heading(column),
        row.take(column, (cell) => amountOf(row, cell)),
        column,
      )
  }
  if (found.length === 0) return null
  const text = found.map((part) => `${part.amount} ${part.material?.name}`).join(' : ')
  const whole: Mixture = { name: '', basis: 'volume', parts: found }
  return { ...whole, basis: basis ?? basisFor(row, text, isCarried(row) ? null : whole) }
}

const isCarried = (row: RowReading): boolean => row.one('carrier').text !== '' || row.one('carrier-parts').text !== ''

function materialOf(row: RowReading, name: string, column: number, wanted: MaterialKind | null): Part['material'] {
  const warnings: string[] = []
  const material = row.all.shelf.find(name.slice(0, 120), wanted, warnings)
  for (const warning of warnings) row.warn(column, warning)
  return material
}

type Amount = { value: number; basis: Basis | null }

/** "4", "4 parts", "4 g", "40 mL". */
function amountOf(row: RowReading, text: string): Cell<Amount> {
  const sign = row.sign(text)
  if (sign === null) return understood({ value: 1, basis: null })
  const figure = figureOf(text, sign, /^(parts?|pts?|p|g|grams?|ml|cc)?\.?$/)
  if (!figure.ok) return figure
  if (!(figure.value > 0))
    return notUnderstood(`“${short(text)}” is no amount.`, 'Write how many parts go in, or leave the cell empty.')
  const basis = /\d\s*g/i.test(text) ? 'mass' : /\d\s*(ml|cc)/i.test(text) ? 'volume' : null
  return understood({ value: figure.value, basis })
}

type Carrier = { name: string; share: { value: number; to: number } | null; bare: boolean }

/** The blend in its carrier, where columns say so and the formula itself does not. */
function withCarrier(row: RowReading, blend: Mixture): Mixture {
  const named = row.one('carrier')
  const parts = row.one('carrier-parts')
  const isNone = (text: string) => text === '' || nothing.test(text)
  if (isNone(named.text) && isNone(parts.text)) return blend
  if (isNone(named.text) && nothing.test(parts.text)) return blend
  const carrier =
    named.column === undefined
      ? null
      : row.take(named.column, (text) => (isNone(text) ? understood(noCarrier) : carrierOf(row, text)))
  const share = isNone(parts.text) ? null : row.take(parts.column, (text) => carrierOf(row, text))
  const figure = share?.share ?? carrier?.share ?? null
  const column = named.column ?? parts.column ?? 0
  if (figure === null) {
    if (carrier && carrier.name !== '' && !row.waiting)
      row.unread(column, {
        message: `How much ${short(carrier.name)} goes in is missing.`,
        remedy: 'Write its share, for example 6:1.',
      })
    return blend
  }
  const heading = row.all.heading(column)
  const name =
    carrier?.name || share?.name || (/carrier|binder|intercoat/i.test(heading) ? plainName(heading) : 'carrier')
  const material = materialOf(row, name, column, 'carrier')
  const bare = share?.share ? share.bare : (carrier?.bare ?? false)
  const total = blend.parts.reduce((sum, part) => sum + part.amount, 0)
  const isPlain = blend.parts.every((part) => part.unit === 'parts' && part.material !== null)
  // to one part of a blend of one part, or said as "6:1", both readings are one
  if (bare && isPlain && total !== 1) {
    row.all.ask('carrier', `${figure.value} ${name}`)
    const meant = row.all.plan.answers.carrier
    if (meant === null) row.waiting = true
    if (meant === 'same-parts')
      return { ...blend, parts: [...blend.parts, { amount: figure.value, unit: 'parts', material, mixture: null }] }
  }
  const single = blend.parts.length === 1 ? blend.parts[0] : undefined
  const inner: Part =
    single?.material && single.unit === 'parts'
      ? { ...single, amount: figure.to }
      : { amount: figure.to, unit: 'parts', material: null, mixture: { ...blend, name: blend.name || 'blend' } }
  return {
    name: '',
    basis: blend.basis,
    parts: [inner, { amount: figure.value, unit: 'parts', material, mixture: null }],
  }
}

const noCarrier: Carrier = { name: '', share: null, bare: false }
const plainName = (heading: string): string =>
  heading
    .replaceAll(/\b(parts?|pts|ratio|share|amount)\b/gi, '')
    .trim()
    .toLowerCase()

/** "6:1", "20", "clear binder 6:1", "20 parts clear binder", "clear binder". */
function carrierOf(row: RowReading, text: string): Cell<Carrier> {
  const found = /^(.*?)\s*(\d[\d.,]*)\s*(?:(?::|to)\s*(\d[\d.,]*))?\s*(?:parts?|pts?)?\s*(.*)$/i.exec(text)
  if (!found) return understood({ name: text, share: null, bare: false })
  const name = `${found[1] ?? ''} ${found[4] ?? ''}`
    .replaceAll(/\b(in|of)\b/gi, ' ')
    .replaceAll(/\s+/g, ' ')
    .trim()
  const sign = row.sign(found[2] ?? '')
  if (sign === null) return understood(noCarrier)
  const value = figureOf(found[2] ?? '', sign)
  const to = found[3] === undefined ? understood(1) : figureOf(found[3], sign)
  if (!value.ok) return value
  if (!to.ok) return to
  if (!(value.value > 0 && to.value > 0) || /%/.test(text))
    return notUnderstood(`“${short(text)}” is no share of a carrier.`, 'Write it like 6:1 or 20.')
  return understood({ name, share: { value: value.value, to: to.value }, bare: found[3] === undefined })
}

/** "10", "10 %", "10 % slow", "slow reducer 5%", "5 % of total"; a hardener also "4:1", one part to four of the rest. */
function percentOf(row: RowReading, kind: 'reducer' | 'hardener'): Part[] {
  const { column, text } = row.one(kind)
  if (column === undefined || text === '' || nothing.test(text)) return []
  const part = row.take(column, (cell): Cell<Part | null> => {
    const ratio = kind === 'hardener' ? /^(.*?)\s*(\d+(?:[.,]\d+)?)\s*:\s*1\b\s*(.*)$/.exec(cell) : null
    const found = ratio ?? /^(.*?)\s*(\d+(?:[.,]\d+)?)\s*(?:%|percent|pct)?\s*(.*)$/i.exec(cell)
    const example = kind === 'reducer' ? '10 % slow reducer' : '25 % or 4:1'
    if (!found) return notUnderstood(`“${short(cell)}” does not say how much.`, `Write it like ${example}.`)
    const sign = row.sign(found[2] ?? '')
    if (sign === null) return understood(null)
    const figure = figureOf(found[2] ?? '', sign)
    if (!figure.ok) return figure
    if (!(figure.value > 0) || (!ratio && figure.value > 100))
      return notUnderstood(`“${short(cell)}” is no percentage.`, `Write it like ${example}.`)
    const unit: AmountUnit = /of (the )?total/i.test(cell) ? 'percent-of-total' : 'percent-on-top'
    const name = `${found[1] ?? ''} ${found[3] ?? ''}`
      .replaceAll(/\b(on top|of (the )?total|of)\b/gi, ' ')
      .replaceAll(/\s+/g, ' ')
      .trim()
    const whole =
      name === '' ? kind : /reducer|thinner|hardener|catalyst|activator/i.test(name) ? name : `${name} ${kind}`
    return understood({
      amount: ratio ? 100 / figure.value : figure.value,
      unit,
      material: materialOf(row, whole, column, kind),
      mixture: null,
    })
  })
  return part ? [part] : []
}
