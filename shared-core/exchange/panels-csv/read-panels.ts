import { nameKey } from '../../mix/material-names.ts'
import type { MaterialKind, MaterialRef, Mixture } from '../../records/mixture.ts'
import type { PanelDraft } from '../../records/panel.ts'
import { addSteps, isFurtherStep } from './further-steps.ts'
import { panelOfRow } from './panel-of-row.ts'
import { type NotebookReading, type Remark, type RowColour, RowReading } from './reading.ts'

/** What becomes of a row. `draft` is there also where it is refused, as far as it was understood. */
export type RowRead = {
  row: number
  /** More than one where further rows are steps of it. */
  rows: number
  draft: PanelDraft
  colours: RowColour[]
  cleared: boolean
  remarks: Remark[]
  refused: boolean
  /** Its code was there before. */
  duplicate: boolean
  waiting: boolean
}

/**
 * Reads a table row by row; rows that are further steps of the panel before them become part of it. Rows under whose
 * columns nothing stands are passed over.
 * @param taken  codes of the rack's panels, in lower case
 */
export function* readPanels(all: NotebookReading, taken: ReadonlySet<string>): Generator<RowRead> {
  const used = all.plan.uses.flatMap((use, i) => (use === 'nothing' ? [] : [i]))
  const seen = new Map<string, number>()
  let held: { read: RowRead; code: string | null } | null = null
  for (const tableRow of all.table.rows) {
    const row = new RowReading(all, tableRow)
    if (used.every((column) => row.cell(column) === '')) continue
    const isWhole = !isTooWide(row)
    const { draft, colours } = isWhole ? panelOfRow(row) : { draft: nothingRead, colours: [] }
    const { code } = draft
    const isClear = isWhole && !row.remarks.some((remark) => remark.refused)
    if (isClear && held && !held.read.refused && isFurtherStep({ ...held.read.draft, code: held.code }, draft)) {
      row.warn(row.one('code').column ?? null, 'This row is taken as a further step of the panel above.')
      addSteps(held.read, draft, colours)
      held.read.remarks.push(...row.remarks)
      held.read.rows++
      held.read.waiting ||= row.waiting
      continue
    }
    if (held) yield held.read
    const duplicate = isWhole && settleCode(row, draft, taken, seen)
    held = {
      code,
      read: {
        row: tableRow.row,
        rows: 1,
        draft,
        colours,
        cleared: draft.layers.some((layer) => layer.kind === 'clear'),
        remarks: row.remarks,
        refused: row.remarks.some((remark) => remark.refused),
        duplicate,
        waiting: row.waiting,
      },
    }
  }
  if (held) yield held.read
}

/** A separator inside a cell moves every cell after it into the next column: nothing of such a row is read. */
function isTooWide(row: RowReading): boolean {
  const { headings } = row.all.table
  if (row.row.cells.slice(headings.length).every((cell) => cell.trim() === '')) return false
  row.refuse(
    null,
    `The row has more cells than there are columns (${headings.length}).`,
    'Put the cell that holds a separator in quotes, as spreadsheets do, or take another sign there.',
  )
  return true
}

const nothingRead: PanelDraft = {
  id: null,
  code: null,
  title: '',
  status: 'sprayed',
  sprayedOn: null,
  sprayedBy: '',
  substrate: '',
  notes: '',
  tags: [],
  layers: [],
  steps: [{ id: null, coats: 0, notes: '' }],
}

function settleCode(
  row: RowReading,
  draft: PanelDraft,
  taken: ReadonlySet<string>,
  seen: Map<string, number>,
): boolean {
  if (draft.code === null) return false
  const key = draft.code.toLowerCase()
  const earlier = seen.get(key)
  if (earlier === undefined) seen.set(key, row.row.row)
  if (earlier === undefined && !taken.has(key)) return false
  const { column } = row.one('code')
  const where = taken.has(key) ? 'is the code of a panel in the rack' : 'stands in an earlier row too'
  if (row.all.plan.choices.duplicates === 'leave-out') {
    row.refuse(
      column ?? null,
      `This code ${where}.`,
      'The row is left out. Say below if such rows are to get new codes.',
    )
    return true
  }
  row.warn(column ?? null, `This code ${where}.`, 'The panel gets a new code; the notebook’s stands in its notes.')
  draft.notes = [draft.notes, `Code in the notebook: ${draft.code}`].filter(Boolean).join('\n').slice(0, 8000)
  draft.code = null
  return true
}

/** Every material that a draft names. */
export function materialsOf(draft: PanelDraft): MaterialRef[] {
  const within = (mixture: Mixture | null): MaterialRef[] =>
    mixture
      ? mixture.parts.flatMap((part) => (part.mixture ? within(part.mixture) : part.material ? [part.material] : []))
      : []
  return draft.layers.flatMap((layer) => within(layer.mixture))
}

/** Counts the materials that the shelf does not have under their names. */
export class NewMaterials {
  private readonly found = new Map<string, { name: string; kind: MaterialKind; count: number }>()

  note(draft: PanelDraft, isNew: (name: string) => boolean): void {
    for (const { name, kind } of new Map(materialsOf(draft).map((each) => [nameKey(each.name), each])).values()) {
      if (!isNew(name)) continue
      const known = this.found.get(nameKey(name))
      if (known) known.count++
      else this.found.set(nameKey(name), { name, kind, count: 1 })
    }
  }

  list(): { name: string; kind: MaterialKind; count: number }[] {
    return [...this.found.values()].toSorted((a, b) => b.count - a.count || a.name.localeCompare(b.name))
  }
}
