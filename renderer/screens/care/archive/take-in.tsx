import { type FormEvent, useEffect, useId, useState } from 'react'
import { client } from '../../../client/client.ts'
import { FieldError, type Said } from '../../../parts/field-error.tsx'
import { useStore } from '../../../state/store.ts'
import { useUndoOf } from '../../../state/undo-of.ts'
import { askComparison, changeTaking, useTaking } from './archive-state.ts'
import { JobProgress } from './job-progress.tsx'
import { PathField } from './path-field.tsx'

/** Which archive or rack is to be taken in; what it has is looked at before anything happens. */
export function TakeIn() {
  const id = useId()
  const { path, lookJob, last } = useTaking()
  const isUndone = useUndoOf(last?.changeId) === 'undone'
  const putAway = useStore((s) => s.putAwayJob)
  const [said, setSaid] = useState<Said | null>(null)
  const job = useStore((s) => (lookJob === null ? undefined : s.jobs[lookJob]))
  const state = job?.state
  useEffect(() => {
    void askComparison()
  }, [state])
  const failed = state === 'failed' ? job?.id : undefined
  useEffect(() => {
    // said here: the frame need not say it once more
    if (failed !== undefined) putAway(failed)
  }, [failed, putAway])
  const look = async (event: FormEvent) => {
    event.preventDefault()
    setSaid(null)
    if (path.trim() === '')
      return setSaid({
        message: 'No archive and no rack is named.',
        remedy: 'Choose the file or the folder, or write where it lies.',
      })
    const answer = await client().call('archive.compare', { path: path.trim() })
    if (answer.ok) changeTaking({ lookJob: answer.value.jobId, comparison: null, takeJob: null })
    else setSaid(answer.error)
  }
  return (
    <form
      className="block archive-block"
      aria-labelledby={`${id}-head`}
      noValidate
      onSubmit={(event) => void look(event)}
    >
      <h2 id={`${id}-head`}>Take in from another rack or archive</h2>
      <p>
        Panels that hang in both are found. You see what is new, what differs and what becomes of each before anything
        is taken in; the other rack is only read.
      </p>
      {last && isUndone ? (
        <p role="status">
          <b>{`Taking in “${last.name}” was undone.`}</b> Nothing of it is left here. Look at it once more to decide
          anew.
        </p>
      ) : null}
      <PathField
        label="Archive, or folder of a rack"
        value={path}
        onChange={(to) => changeTaking({ path: to })}
        error={said}
        folderToo
      />
      {state === 'running' || (lookJob !== null && !job) ? (
        <JobProgress job={job} fallback="Looking at it" />
      ) : (
        <div className="archive-acts">
          <button type="submit" className="btn main">
            Look what it has
          </button>
        </div>
      )}
      <FieldError id={`${id}-failed`} said={state === 'failed' ? (job?.error ?? null) : null} />
    </form>
  )
}
