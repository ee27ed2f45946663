import type { Mixture } from '../../records/mixture.ts'
import { type ColumnUse, usualCoats } from '../../records/notebook.ts'
import { type Layer, PanelDraft, type PanelStatus } from '../../records/panel.ts'
import { type Cell, coatsOf, dayOf, notUnderstood, orderShown, short, understood, yesOrNo } from './cells.ts'
import { coloursOfRow } from './colours-of-row.ts'
import { boothOfRow, gunOfRow } from './gun-of-row.ts'
import { mixtureOfRow } from './mixture-of-row.ts'
import type { RowColour, RowReading } from './reading.ts'

/** Mid coats get two, three at most (common practice, no source). */
const usualMidCoats = 2

/** A row as a panel. Whether it goes in, the row's remarks say. */
export function panelOfRow(row: RowReading): { draft: PanelDraft; colours: RowColour[] } {
  const { mixture, coats: coatsInFormula } = mixtureOfRow(row)
  const hasCandy = mixture !== null || candyNamed(row)
  const steps = stepsOfRow(row, hasCandy, coatsInFormula)
  const layers = layersOfRow(row, hasCandy, mixture, Math.max(...steps))
  const colours = coloursOfRow(row, steps)
  const sprayedOn = dayOfRow(row)
  const draft: PanelDraft = {
    id: null,
    code: row.one('code').text || null,
    title: row.one('title').text,
    status: statusOfRow(row),
    sprayedOn,
    sprayedBy: row.one('sprayed-by').text,
    substrate: row.one('substrate').text,
    notes: '',
    tags: tagsOfRow(row),
    layers,
    steps: steps.map((coats) => ({ id: null, coats, notes: '' })),
  }
  draft.notes = notesOfRow(row)
  mustFit(row, draft)
  return { draft, colours }
}

const candyNamed = (row: RowReading): boolean =>
  [...row.all.columnsOf('candy'), ...row.all.columnsOf('formula')].some((column) => row.cell(column) !== '')

function stepsOfRow(row: RowReading, hasCandy: boolean, coatsInFormula: number | null): number[] {
  const { column, text } = row.one('coats')
  const { decimal } = row.all
  const written =
    column === undefined || text === '' ? null : coatsOf(text, row.all.plan.answers.decimal ?? shownBy(decimal, row))
  if (written?.ok) return written.value
  if (column !== undefined && written && !written.ok) {
    row.unread(column, written)
    if (row.all.plan.choices.unread === 'leave-out') return [0]
  }
  if (coatsInFormula !== null) return [coatsInFormula]
  // bare ground, or nothing at all, has no coat of candy
  if (!hasCandy) return [0]
  row.all.ask('coats', row.one('code').text || `row ${row.row.row}`, false)
  const { coats } = row.all.plan.answers
  if (coats !== null) return [coats]
  row.refuse(
    column ?? null,
    'How many coats of candy it has is not written.',
    'Write the coats in the table, or say above how many are meant where none is written.',
  )
  return [0]
}

/** A point taken for want of any sign says nothing about "1,5". */
function shownBy(decimal: 'comma' | 'point' | null, row: RowReading): 'comma' | 'point' | null {
  return decimal === 'point' && row.all.table.separator !== 'comma' ? null : decimal
}

function layersOfRow(row: RowReading, hasCandy: boolean, mixture: Mixture | null, coats: number): Layer[] {
  const layers: Layer[] = []
  const add = (kind: Layer['kind'], name: string, its: number, more: Partial<Layer> = {}) =>
    layers.push({ id: null, kind, name, coats: its, mixture: null, gunSetup: null, booth: null, notes: '', ...more })
  const named = (use: ColumnUse) => {
    const { text } = row.one(use)
    return /^(-|–|—|none|no|n\/?a)$/i.test(text) ? '' : text
  }
  if (named('sealer')) add('sealer', named('sealer'), 1)
  if (named('undercoat')) add('undercoat', named('undercoat'), usualCoats)
  if (named('ground')) add('ground', named('ground'), usualCoats)
  const gunSetup = gunOfRow(row)
  const booth = boothOfRow(row)
  if (hasCandy) add('candy', '', coats, { mixture, gunSetup, booth })
  if (named('mid-coat')) add('mid-coat', named('mid-coat'), usualMidCoats)
  const clear = clearOfRow(row)
  if (clear !== null) add('clear', clear, usualCoats)
  return layers
}

/** @returns the clear's name, perhaps empty, or null where there is none */
function clearOfRow(row: RowReading): string | null {
  const said = row.one('cleared')
  const name = row.one('clear-name').text
  const answer = yesOrNo(said.text)
  const isNone = yesOrNo(name) === false
  if (said.text !== '' && answer === null && said.column !== undefined) {
    row.warn(said.column, `“${short(said.text)}” is neither yes nor no: it is taken as the clear’s name.`)
    return said.text.slice(0, 120)
  }
  if (answer === false) {
    if (name !== '' && !isNone)
      row.warn(
        said.column ?? null,
        'A clear is named, and the row says that it is not cleared: it is taken as not cleared.',
      )
    return null
  }
  if (name === '' || isNone) return answer === true ? '' : null
  return yesOrNo(name) === true ? '' : name
}

function dayOfRow(row: RowReading): string | null {
  const { column } = row.one('sprayed-on')
  const { today } = row.all.plan
  const day = row.take(column, (text): Cell<string | null> => {
    const open = orderShown(text) === 'open'
    if (open && (row.all.plan.answers.dates !== null || row.all.dates === null)) row.all.ask('dates', text)
    if (open && row.all.dates === null) {
      row.waiting = true
      return understood(null)
    }
    // a day over 12 is read as what it can be, though the rest of the table has another order
    return dayOf(text, open ? row.all.dates : (orderSaid(text) ?? row.all.dates), today)
  })
  if (day !== null && day > today)
    row.warn(column ?? null, `${day} lies ahead.`, 'Look whether day and month are the right way round.')
  return day
}

const orderSaid = (text: string) => {
  const shown = orderShown(text)
  return shown === 'open' ? null : shown
}

const statuses: Record<string, PanelStatus> = {
  planned: 'planned',
  plan: 'planned',
  'to do': 'planned',
  sprayed: 'sprayed',
  done: 'sprayed',
  retired: 'retired',
  gone: 'retired',
}

function statusOfRow(row: RowReading): PanelStatus {
  const { column } = row.one('status')
  return (
    row.take(column, (text) => {
      const found = statuses[text.toLowerCase()]
      return found
        ? understood(found)
        : notUnderstood(`“${short(text)}” is no status.`, 'Write planned, sprayed or retired.')
    }) ?? 'sprayed'
  )
}

function tagsOfRow(row: RowReading): string[] {
  const tags = row.all
    .columnsOf('tags')
    .flatMap((column) => row.cell(column).split(/[,;|#]/u))
    .map((tag) => tag.trim())
    .filter((tag) => tag !== '')
  return tags.filter((tag, i) => tags.findIndex((other) => other.toLowerCase() === tag.toLowerCase()) === i)
}

/** Notes as they stand; from a second column on, and from cells that were not understood, under their heading. */
function notesOfRow(row: RowReading): string {
  const columns = row.all.columnsOf('notes')
  const plain = columns.filter((column) => /^(notes?|remarks?|comments?|memo)$/i.test(row.all.heading(column)))
  const lines = columns.flatMap((column) => {
    const text = row.cell(column)
    if (text === '') return []
    return [plain.includes(column) ? text : `${row.all.heading(column)}: ${text}`]
  })
  return [...lines, ...row.notes].join('\n')
}

const useOfField: Partial<Record<string, ColumnUse>> = {
  code: 'code',
  title: 'title',
  sprayedBy: 'sprayed-by',
  substrate: 'substrate',
  notes: 'notes',
  tags: 'tags',
}

/** A text too long for its place, a figure beyond what there is: said with the column it came from. */
function mustFit(row: RowReading, draft: PanelDraft): void {
  const checked = PanelDraft.safeParse(draft)
  if (checked.success) return
  const seen = new Set<string>()
  for (const issue of checked.error.issues) {
    const path = issue.path.map(String)
    const use = useOfField[path[0] ?? ''] ?? useOfLayer(path, draft)
    const [column] = use ? row.all.columnsOf(use) : []
    const what = column === undefined ? path.join(' ') : row.all.heading(column)
    if (seen.has(what)) continue
    seen.add(what)
    const isLong = issue.code === 'too_big' && issue.origin === 'string'
    row.refuse(
      column ?? null,
      isLong ? `“${what}” is longer than ${issue.maximum} characters.` : `“${what}” holds what a panel cannot.`,
      isLong ? 'Shorten it, or put it into the notes.' : 'Look at this cell, or set its column to “left out”.',
    )
  }
}

function useOfLayer(path: readonly string[], draft: PanelDraft): ColumnUse | undefined {
  if (path[0] !== 'layers') return path[0] === 'steps' ? 'coats' : undefined
  if (path[2] === 'gunSetup')
    return (
      ({ tipMm: 'tip', inletKpa: 'pressure', distanceMm: 'distance', overlapPercent: 'overlap' } as const)[
        path[3] ?? ''
      ] ?? 'gun'
    )
  if (path[2] === 'booth')
    return ({ temperatureC: 'temperature', humidityPercent: 'humidity', flashOffMin: 'flash-off' } as const)[
      path[3] ?? ''
    ]
  const kind = draft.layers[Number(path[1])]?.kind
  if (kind === 'ground' || kind === 'sealer' || kind === 'undercoat' || kind === 'mid-coat') return kind
  return kind === 'clear' ? 'clear-name' : 'formula'
}
