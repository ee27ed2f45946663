import { type ParsedFormula, parseFormula } from '../../mix/formula.ts'
import { nameKey, Shelf } from '../../mix/material-names.ts'
import type { MaterialRef } from '../../records/mixture.ts'
import type { ColumnUse, NotebookAnswers, NotebookChoices } from '../../records/notebook.ts'
import { type Cell, type DateOrder, type DecimalSign, decimalShown, orderShown } from './cells.ts'
import type { Table, TableRow } from './table.ts'

/** What is said of a row. `column` is null where it concerns the whole row. */
export type Remark = {
  row: number
  column: number | null
  cell: string
  message: string
  remedy: string
  refused: boolean
}
/** A step's colour in figures. */
export type RowColour = { coats: number; lab: { l: number; a: number; b: number }; bound90: number | null }

export type Asked = { count: number; example: string; required: boolean }
export type Ask = keyof NotebookAnswers

/** How a table is to be understood. */
export type NotebookPlan = {
  uses: readonly ColumnUse[]
  answers: NotebookAnswers
  choices: NotebookChoices
  /** What is on the shelf. */
  shelf: readonly MaterialRef[]
  /** ISO 8601: the century of short years, and what lies ahead. */
  today: string
}

/** Everything that rows have in common while they are read. */
export class NotebookReading {
  readonly table: Table
  readonly plan: NotebookPlan
  readonly decimal: DecimalSign | null
  readonly dates: DateOrder | null
  readonly asked = new Map<Ask, Asked>()
  readonly known: readonly MaterialRef[]
  readonly shelf: Shelf
  private readonly formulas = new Map<string, ParsedFormula>()

  constructor(table: Table, plan: NotebookPlan) {
    this.table = table
    this.plan = plan
    this.decimal = plan.answers.decimal ?? this.shownDecimal()
    this.dates = plan.answers.dates ?? this.shownDates()
    this.known = [...said(plan), ...plan.shelf]
    this.shelf = new Shelf(this.known)
  }

  columnsOf(use: ColumnUse): number[] {
    return this.plan.uses.flatMap((each, i) => (each === use ? [i] : []))
  }

  heading(column: number): string {
    return this.table.headings[column] ?? ''
  }

  /** One formula is written down many times in a notebook. */
  formula(text: string): ParsedFormula {
    const kept = this.formulas.get(text)
    if (kept) return kept
    const read = parseFormula(text, { known: this.known, decimal: this.decimal ?? 'point' })
    if (this.formulas.size > 5000) this.formulas.clear()
    this.formulas.set(text, read)
    return read
  }

  /** Notes that a row cannot be read for certain before this is answered. */
  ask(what: Ask, cell: string, required = true): void {
    const before = this.asked.get(what)
    if (before) before.count++
    else this.asked.set(what, { count: 1, example: cell, required })
  }

  private *cellsUnder(wanted: readonly ColumnUse[]): Generator<string> {
    const columns = this.plan.uses.flatMap((use, i) => (wanted.includes(use) ? [i] : []))
    for (const { cells } of this.table.rows) for (const column of columns) yield cells[column] ?? ''
  }

  /** Figures that contradict each other are asked about; so are those that may be thousands. */
  private shownDecimal(): DecimalSign | null {
    const shown = decimalShown(this.cellsUnder(figureUses))
    if (shown === 'comma' || shown === 'point') return shown
    // without a sign anywhere both read alike
    return shown === null ? 'point' : null
  }

  /** One date that can be read one way only tells of all the others, unless another contradicts it. */
  private shownDates(): DateOrder | null {
    let order: DateOrder | null = null
    for (const cell of this.cellsUnder(['sprayed-on'])) {
      const shown = orderShown(cell)
      if (shown !== 'day-first' && shown !== 'month-first') continue
      if (order !== null && order !== shown) return null
      order = shown
    }
    return order
  }
}

const figureUses: readonly ColumnUse[] = [
  'parts',
  'named-parts',
  'carrier-parts',
  'tip',
  'pressure',
  'distance',
  'overlap',
  'temperature',
  'humidity',
  'flash-off',
  'lab-l',
  'lab-a',
  'lab-b',
  'bound',
]

/** What the painter said of names goes before the shelf's own. */
const said = ({ choices, shelf }: NotebookPlan): MaterialRef[] =>
  choices.materials.map(({ name, kind, materialId }) => {
    const meant = materialId === null ? undefined : shelf.find(({ id }) => id === materialId)
    // found under the notebook's name, it is the shelf's material all the same
    return meant ? { id: meant.id, name, kind: meant.kind } : { id: null, name, kind }
  })

/** One row on its way to a panel. */
export class RowReading {
  readonly all: NotebookReading
  readonly row: TableRow
  readonly remarks: Remark[] = []
  readonly notes: string[] = []
  waiting = false

  constructor(all: NotebookReading, row: TableRow) {
    this.all = all
    this.row = row
  }

  cell(column: number | undefined): string {
    return column === undefined ? '' : (this.row.cells[column]?.trim() ?? '')
  }

  /** The one column of a use, and what stands there. */
  one(use: ColumnUse): { column: number | undefined; text: string } {
    const [column] = this.all.columnsOf(use)
    return { column, text: this.cell(column) }
  }

  refuse(column: number | null, message: string, remedy: string): void {
    this.remarks.push({
      row: this.row.row,
      column,
      cell: this.cell(column ?? undefined),
      message,
      remedy,
      refused: true,
    })
  }

  warn(column: number | null, message: string, remedy = ''): void {
    this.remarks.push({
      row: this.row.row,
      column,
      cell: this.cell(column ?? undefined),
      message,
      remedy,
      refused: false,
    })
  }

  /** What is not understood leaves the row out, or is kept as it stands. */
  unread(column: number, { message, remedy }: { message: string; remedy: string }): void {
    if (this.all.plan.choices.unread === 'leave-out') {
      this.refuse(column, message, remedy)
      return
    }
    this.notes.push(`${this.all.heading(column)}: ${this.cell(column)}`)
    this.warn(column, message, 'It is kept in the notes as it stands.')
  }

  /** @returns the value, or null where the cell is empty or not understood, which is then said */
  take<T>(column: number | undefined, read: (text: string) => Cell<T>): T | null {
    const text = this.cell(column)
    if (column === undefined || text === '') return null
    const found = read(text)
    if (found.ok) return found.value
    this.unread(column, found)
    return null
  }

  ask(what: Ask, cell: string, required = true): void {
    this.all.ask(what, cell, required)
    if (required) this.waiting = true
  }

  /** A decimal sign, asked for where the table leaves it open and this cell depends on it. */
  sign(text: string): DecimalSign | null {
    if (this.all.decimal !== null) return this.all.decimal
    if (!/[.,]/.test(text)) return 'point'
    this.ask('decimal', text)
    return null
  }
}

export const isNewMaterial = (shelf: readonly MaterialRef[], name: string): boolean =>
  !shelf.some((each) => nameKey(each.name) === nameKey(name))
