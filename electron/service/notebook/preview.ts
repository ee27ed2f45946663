import type { Input, Output } from '../../../shared-core/contract/calls.ts'
import type { NotebookPanel, NotebookProblem } from '../../../shared-core/contract/panels-csv-calls.ts'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import { cellsOf, proposeUses, signatureOf } from '../../../shared-core/exchange/panels-csv/headings.ts'
import { NewMaterials, type RowRead, readPanels } from '../../../shared-core/exchange/panels-csv/read-panels.ts'
import { NotebookReading } from '../../../shared-core/exchange/panels-csv/reading.ts'
import type { Table } from '../../../shared-core/exchange/panels-csv/table.ts'
import { nameKey, nearMaterial } from '../../../shared-core/mix/material-names.ts'
import type { MaterialRef } from '../../../shared-core/records/mixture.ts'
import type { ColumnUse, NotebookAnswers, NotebookChoices } from '../../../shared-core/records/notebook.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { codesInUse, shelfNames } from '../../rack/queries/panel-rows.ts'
import { keptColumns } from './kept-columns.ts'
import { openNotebook } from './open-notebook.ts'

/** So many are shown; of the rest it is told how many there are. */
const mostProblems = 200
const mostRowsNamed = 12
const mostPanels = 9
const mostMaterials = 500
const samples = 3
const longestSample = 80
/** Rows between two turns of the service's other work. */
const rowsATurn = 250

export const nextTurn = (): Promise<void> => new Promise((resolve) => setImmediate(resolve))

/** How a table is understood: its columns and answers, chosen or proposed, and what the rack has. */
export type Understood = {
  table: Table
  columns: ColumnUse[]
  answers: NotebookAnswers
  reading: NotebookReading
  taken: Set<string>
  shelf: MaterialRef[]
}

export async function understand(
  db: Rack['db'],
  table: Table,
  columns: ColumnUse[],
  answers: NotebookAnswers,
  choices: NotebookChoices,
): Promise<Understood> {
  if (columns.length !== table.headings.length)
    throw new Refusal(
      'notebook/columns',
      'The columns chosen are not those of this file.',
      'Choose the file again, and say what its columns are.',
    )
  const known = await shelfNames(db)
  const plan = { uses: columns, answers, choices, shelf: known, today: localDay(new Date()) }
  return {
    table,
    columns,
    answers,
    reading: new NotebookReading(table, plan),
    taken: await codesInUse(db),
    shelf: known,
  }
}

const localDay = (now: Date): string =>
  `${now.getFullYear()}-${String(now.getMonth() + 1).padStart(2, '0')}-${String(now.getDate()).padStart(2, '0')}`

/** What the table would become, as the page shows it. */
export async function previewNotebook(
  rack: Rack,
  appFolder: string,
  input: Input<'panelsCsv.preview'>,
): Promise<Output<'panelsCsv.preview'>> {
  const { digest, encoding, table } = await openNotebook(input.path, input.answers)
  const kept = input.columns === null ? await keptColumns(appFolder, signatureOf(table)) : null
  const fits = kept !== null && kept.columns.length === table.headings.length
  const named = input.columns === null && !fits ? await shelfNames(rack.db) : []
  const columns =
    input.columns ??
    (fits
      ? kept.columns
      : proposeUses(
          table,
          named.map(({ name }) => name),
        ))
  const answers = fits ? completed(input.answers, kept.answers) : input.answers
  const understood = await understand(rack.db, table, columns, answers, input.choices)
  const found = await readAll(understood)
  const { reading, shelf } = understood
  return {
    digest,
    encoding,
    separator: table.separator,
    headings: table.hasHeadings,
    asLastTime: fits,
    columns: table.headings.map((heading, i) => ({
      heading,
      samples: cellsOf(table, i, samples).map((cell) => cell.slice(0, longestSample)),
      use: columns[i] ?? 'nothing',
    })),
    answers,
    questions: [...reading.asked].map(([ask, { count, example, required }]) => ({
      ask,
      count,
      example: example.slice(0, longestSample),
      answered: answers[ask] !== null,
      required,
    })),
    counts: found.counts,
    ...listed(found.problems, table),
    materials: found.materials
      .list()
      .slice(0, mostMaterials)
      .map((material) => {
        const said = input.choices.materials.find(({ name }) => nameKey(name) === nameKey(material.name))
        return { ...material, materialId: said?.materialId ?? null, near: nearMaterial(material.name, shelf) }
      }),
    panels: found.panels,
  }
}

/** What was answered for the last such table stands where nothing else is said. */
const completed = (given: NotebookAnswers, before: NotebookAnswers): NotebookAnswers => ({
  ...before,
  ...Object.fromEntries(Object.entries(given).filter(([, answer]) => answer !== null)),
  separator: given.separator,
  headings: given.headings,
})

type Problem = Omit<NotebookProblem, 'heading'> & { column: number | null }
type Found = {
  counts: Output<'panelsCsv.preview'>['counts']
  problems: Map<string, Problem>
  materials: NewMaterials
  panels: NotebookPanel[]
}

/** Goes through all rows, letting other work in between. */
export async function readAll({ reading, taken, shelf }: Understood): Promise<Found> {
  const onShelf = new Set(shelf.map(({ name }) => nameKey(name)))
  const counts = { rows: 0, panels: 0, readings: 0, refused: 0, duplicates: 0, warned: 0, waiting: 0 }
  const found: Found = { counts, problems: new Map(), materials: new NewMaterials(), panels: [] }
  let turn = 0
  for (const row of readPanels(reading, taken)) {
    if (++turn % rowsATurn === 0) await nextTurn()
    counts.rows += row.rows
    noteProblems(found.problems, row)
    if (row.duplicate) counts.duplicates++
    if (row.refused) {
      counts.refused++
      continue
    }
    counts.panels++
    counts.readings += row.colours.length
    if (row.waiting) counts.waiting++
    if (row.remarks.length > 0) counts.warned++
    found.materials.note(row.draft, (name) => !onShelf.has(nameKey(name)))
    if (found.panels.length < mostPanels)
      found.panels.push({
        row: row.row,
        draft: row.draft,
        colours: row.colours.map(({ coats, lab }) => ({ coats, lab })),
        waiting: row.waiting,
      })
  }
  return found
}

function noteProblems(problems: Map<string, Problem>, { remarks }: RowRead): void {
  for (const { row, column, cell, message, remedy, refused } of remarks) {
    const key = `${refused} ${column} ${message}`
    const known = problems.get(key)
    if (known) {
      known.count++
      if (known.rows.length < mostRowsNamed) known.rows.push(row)
    } else
      problems.set(key, { refused, column, cell: cell.slice(0, longestSample), message, remedy, count: 1, rows: [row] })
  }
}

/** What leaves rows out first, and of that what concerns most. */
function listed(problems: Map<string, Problem>, table: Table): { problems: NotebookProblem[]; moreProblems: number } {
  const all = [...problems.values()].toSorted(
    (a, b) => Number(b.refused) - Number(a.refused) || b.count - a.count || (a.rows[0] ?? 0) - (b.rows[0] ?? 0),
  )
  return {
    problems: all.slice(0, mostProblems).map(({ column, ...problem }) => ({
      ...problem,
      heading: column === null ? null : (table.headings[column] ?? null),
    })),
    moreProblems: Math.max(0, all.length - mostProblems),
  }
}
