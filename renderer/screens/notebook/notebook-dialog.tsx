import './notebook.css'
import { useEffect, useRef, useState } from 'react'
import type { Job } from '../../../shared-core/records/job.ts'
import { client } from '../../client/client.ts'
import { Dialog } from '../../parts/dialog.tsx'
import { FieldError } from '../../parts/field-error.tsx'
import { useStore } from '../../state/store.ts'
import { ChooseTable } from './choose-table.tsx'
import { ColumnList } from './column-list.tsx'
import { HangingRows } from './hanging-rows.tsx'
import { NewMaterials } from './new-materials.tsx'
import { useNotebook } from './notebook-state.ts'
import { countOf } from './notebook-words.ts'
import { OpenQuestions } from './open-questions.tsx'
import { RowProblems } from './row-problems.tsx'
import { TableFacts } from './table-facts.tsx'
import { Taking } from './taking.tsx'
import { type Seen, useLooking } from './use-looking.ts'

/** A notebook typed up as a table, taken in as panels: what the columns are, what comes of them, and only then the taking. */
export function NotebookDialog() {
  const open = useNotebook((s) => s.open)
  useTellAfterwards(open)
  return open ? <OpenNotebookDialog /> : null
}

const close = () => useNotebook.setState({ open: false, dropped: null })

/** Was the sheet put away while it ran, the end is told outside of it. */
function useTellAfterwards(open: boolean): void {
  const taking = useNotebook((s) => s.taking)
  const state = useStore((s) => (taking ? s.jobs[taking.jobId]?.state : undefined))
  useEffect(() => {
    if (open || !taking || state === undefined || state === 'running') return
    useNotebook.setState({ taking: null })
    // a failure stands among the outcomes of jobs
    if (state === 'done')
      useStore
        .getState()
        .say(`${countOf(taking.panels, 'panel')} of the notebook hang on the rack.`, 'Undo takes them out again.')
    if (state === 'cancelled') useStore.getState().say('Stopped: nothing of the notebook was taken in.')
  }, [open, taking, state])
}

function OpenNotebookDialog() {
  const { chosen, plan, seen, said, busy, choose, change, tell, again } = useLooking()
  const taking = useNotebook((s) => s.taking)
  const takingState = useStore((s) => (taking ? s.jobs[taking.jobId]?.state : undefined)) ?? 'running'
  const dropped = useNotebook((s) => s.dropped)
  const [starting, setStarting] = useState(false)
  const looked = useRef<File | null>(null)
  useEffect(() => {
    if (!dropped || looked.current === dropped) return
    looked.current = dropped
    void choose(dropped)
  })
  const end = () => {
    const jobState = taking ? useStore.getState().jobs[taking.jobId]?.state : undefined
    // told here already
    if (taking && jobState !== undefined && jobState !== 'running') {
      useStore.getState().putAwayJob(taking.jobId)
      useNotebook.setState({ taking: null })
    }
    close()
  }
  async function take(shown: Seen) {
    if (!chosen || !plan.columns || starting) return
    setStarting(true)
    const answer = await client().call('panelsCsv.import', {
      ...chosen,
      columns: plan.columns,
      answers: plan.answers,
      choices: plan.choices,
      digest: shown.digest,
    })
    setStarting(false)
    tell(answer.ok ? null : answer.error)
    if (!answer.ok) return
    useNotebook.setState({
      taking: {
        jobId: answer.value.jobId,
        panels: shown.counts.panels,
        colours: shown.counts.readings,
        leftOut: shown.counts.refused,
      },
    })
  }
  const title = taking ? titleOf(takingState) : 'Take in a notebook'
  if (taking)
    return (
      <Dialog title={title} onClose={end}>
        <Taking
          taking={taking}
          onClose={end}
          onBack={() => {
            useStore.getState().putAwayJob(taking.jobId)
            useNotebook.setState({ taking: null })
          }}
        />
      </Dialog>
    )
  if (!chosen || !seen)
    return (
      <Dialog title={title} onClose={end}>
        <ChooseTable onFile={(file) => void choose(file)} said={said} busy={busy} />
        <div className="notebook-acts">
          <button type="button" className="btn plain push" onClick={end}>
            Close
          </button>
        </div>
      </Dialog>
    )
  const missing = whatIsMissing(seen, busy)
  const { counts } = seen
  return (
    <Dialog title={title} onClose={end}>
      <TableFacts
        chosen={chosen}
        seen={seen}
        onSaid={(answers) => change({ columns: null, answers: { ...plan.answers, ...answers } })}
        onOther={again}
      />
      <div className="notebook-body">
        <ColumnList
          columns={seen.columns.map((column, i) => ({ ...column, use: plan.columns?.[i] ?? column.use }))}
          asLastTime={seen.asLastTime}
          onUse={(column, use) =>
            change({ columns: (plan.columns ?? []).map((each, i) => (i === column ? use : each)) })
          }
        />
        <div className="notebook-what scroll" aria-busy={busy}>
          <OpenQuestions
            questions={seen.questions}
            answers={plan.answers}
            bound90={plan.choices.bound90}
            onAnswer={(answers) => change({ answers: { ...plan.answers, ...answers } })}
            onBound={(bound90) => change({ choices: { ...plan.choices, bound90 } })}
          />
          <RowProblems
            seen={seen}
            choices={plan.choices}
            onChoice={(choices) => change({ choices: { ...plan.choices, ...choices } })}
          />
          <HangingRows panels={seen.panels} total={counts.panels} />
          <NewMaterials
            materials={seen.materials}
            said={plan.choices.materials}
            onSaid={(materials) => change({ choices: { ...plan.choices, materials } })}
          />
        </div>
      </div>
      <FieldError id="notebook-wrong" said={said} />
      <div className="notebook-acts">
        <button
          type="button"
          className="btn main"
          aria-disabled={starting || missing !== null}
          title={missing ?? undefined}
          onClick={() => (missing === null ? void take(seen) : useStore.getState().say(missing))}
        >
          {counts.panels === 0 ? 'Take in' : `Take in ${countOf(counts.panels, 'panel')}`}
        </button>
        <p className="fine" role="status">
          {missing ?? whatElse(seen)}
        </p>
        <button type="button" className="btn plain push" onClick={end}>
          Cancel
        </button>
      </div>
    </Dialog>
  )
}

const titleOf = (state: Job['state']): string =>
  state === 'running' ? 'Taking in the notebook' : state === 'done' ? 'The notebook is taken in' : 'Take in a notebook'

function whatIsMissing({ counts }: Seen, busy: boolean): string | null {
  if (busy) return 'Reading the table.'
  if (counts.panels === 0) return 'No row becomes a panel yet: say what the columns are.'
  if (counts.waiting > 0)
    return `${countOf(counts.waiting, 'panel')} ${counts.waiting === 1 ? 'waits' : 'wait'} for an answer above.`
  return null
}

/** What goes in besides the panels, and what stays out. */
function whatElse({ counts, materials }: Seen): string {
  const words: string[] = []
  if (counts.readings > 0) words.push(`with ${countOf(counts.readings, 'colour')}`)
  const added = materials.filter(({ materialId }) => materialId === null).length
  if (added > 0) words.push(`${countOf(added, 'material')} new on the shelf`)
  if (counts.refused > 0) words.push(`${countOf(counts.refused, 'row')} left out`)
  return [...words, 'Undo takes all of it out again.'].join(', ').replace(/, Undo/, '. Undo')
}
