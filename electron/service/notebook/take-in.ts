import { v7 } from 'uuid'
import type { Input } from '../../../shared-core/contract/calls.ts'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import { signatureOf } from '../../../shared-core/exchange/panels-csv/headings.ts'
import { type RowRead, readPanels } from '../../../shared-core/exchange/panels-csv/read-panels.ts'
import type { NotebookAnswers } from '../../../shared-core/records/notebook.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { codeGiver, type NewPanel, PanelWriter } from '../../rack/queries/panel-rows.ts'
import type { Context } from '../context.ts'
import type { JobHandle } from '../jobs.ts'
import { dropStaged } from '../link/app-folder.ts'
import { typedReading } from '../typed-colour.ts'
import { keepColumns } from './kept-columns.ts'
import { openNotebook } from './open-notebook.ts'
import { nextTurn, readAll, type Understood, understand } from './preview.ts'

/** Panels that are written before other work, and a wish to stop, get their turn. */
const panelsATurn = 100

/** Takes a notebook in as a job: all its panels in one change, or none. @returns the job's id */
export async function startTaking(context: Context, input: Input<'panelsCsv.import'>): Promise<string> {
  const rack = context.rack()
  const { digest, table } = await openNotebook(input.path, input.answers)
  if (digest !== input.digest)
    throw new Refusal(
      'notebook/changed',
      'The file is not the one that was looked at: it changed meanwhile. Nothing was taken.',
      'Choose it again, and look at it once more.',
    )
  const understood = await understand(rack.db, table, input.columns, input.answers, input.choices)
  const { counts } = await readAll(understood)
  if (counts.waiting > 0)
    throw new Refusal(
      'notebook/unanswered',
      `${counts.waiting === 1 ? 'One row waits' : `${counts.waiting} rows wait`} for an answer. Nothing was taken.`,
      'Answer what the table does not say, or leave that column out.',
    )
  if (counts.panels === 0)
    throw new Refusal(
      'notebook/nothing-to-take',
      'No row of this table becomes a panel.',
      'Look at what is wrong with its rows, or at what its columns are.',
    )
  const id = v7()
  const total = counts.panels
  context.jobs.start(
    { id, kind: 'notebook', label: 'Taking in the notebook', total, rackFolder: rack.folder },
    async (job) => {
      await takeIn(rack, understood, total, job)
      const { columns, answers } = understood
      await keepColumns(context.appFiles.folder, { signature: signatureOf(table), columns, answers })
      await dropStaged(context.appFiles.folder, input.path)
    },
  )
  return id
}

/** One transaction: a crash, a stop or a full drive in the middle leaves nothing. */
async function takeIn(rack: Rack, looked: Understood, total: number, job: JobHandle): Promise<void> {
  const label = `take in ${total === 1 ? '1 panel' : `${total} panels`} of a notebook`
  await rack.change({ label, kept: (changeId) => job.changed(changeId) }, async (change) => {
    // what changed in the rack since it was looked at counts
    const { choices } = looked.reading.plan
    const now = await understand(change.db, looked.table, looked.columns, looked.answers, choices)
    const codes = await codeGiver(change, codesWithin(now))
    const writer = new PanelWriter(change, codes)
    let [waiting, done]: [NewPanel[], number] = [[], 0]
    const write = async () => {
      await writer.add(waiting)
      done += waiting.length
      waiting = []
      job.progress('Writing panels', done, total)
      await nextTurn()
      if (job.signal.aborted) throw job.signal.reason
    }
    for (const row of readPanels(now.reading, now.taken)) {
      if (row.refused) continue
      waiting.push(asNewPanel(row, looked.answers))
      if (waiting.length >= panelsATurn) await write()
    }
    await write()
    await codes.end()
    if (done !== total) await change.relabel(`take in ${done} panels of a notebook`)
  })
}

/** Codes that the notebook itself gives: none of them goes to a row without one. */
function codesWithin({ table, reading }: Understood): Set<string> {
  const [column] = reading.columnsOf('code')
  if (column === undefined) return new Set()
  return new Set(
    table.rows.map(({ cells }) => (cells[column] ?? '').trim().toLowerCase()).filter((code) => code !== ''),
  )
}

function asNewPanel(
  { draft, colours, cleared }: RowRead,
  { illuminant, observer, geometry }: NotebookAnswers,
): NewPanel {
  return {
    draft,
    readings: colours.flatMap(({ coats, lab, bound90 }) => {
      const step = draft.steps.findIndex((each) => each.coats === coats)
      if (step < 0 || !illuminant || !observer || !geometry) return []
      const typed = { lab, illuminant, observer, geometry, bound90, view: 'face', lightId: null } as const
      const stage = cleared ? 'cleared' : 'dry'
      return [{ step, make: (stepId: string) => typedReading({ ...typed, stage }, { stepId }) }]
    }),
  }
}
