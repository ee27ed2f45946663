import type { ReactNode } from 'react'
import { undo } from '../../commands/app/undo.ts'
import { FieldError } from '../../parts/field-error.tsx'
import { act } from '../../state/asking.ts'
import { go } from '../../state/router.ts'
import { useStore } from '../../state/store.ts'
import { useUndoOf } from '../../state/undo-of.ts'
import { useNotebook } from './notebook-state.ts'
import { countOf } from './notebook-words.ts'

type Props = {
  taking: { jobId: string; panels: number; colours: number; leftOut: number }
  onClose: () => void
  /** Back to what was chosen, after a stop or a failure. */
  onBack: () => void
}

/** The taking in while it runs, and what came of it. */
export function Taking({ taking: { jobId, panels, colours, leftOut }, onClose, onBack }: Props) {
  const job = useStore((s) => s.jobs[jobId])
  const undoWords = useStore((s) => undo.label(s))
  const how = useUndoOf(job?.changeId)
  const state = job?.state ?? 'running'
  if (state === 'running') {
    const share = job && job.total > 0 ? job.done / job.total : 0
    return (
      <div className="notebook-taking" role="status">
        <p className="lead">{`Writing ${countOf(panels, 'panel')}`}</p>
        <div className="meter notebook-meter" aria-hidden="true">
          {Array.from({ length: 24 }, (_, i) => (
            <i key={i} className={i < Math.round(share * 24) ? 'on' : ''} />
          ))}
        </div>
        <p className="num">{`${(job?.done ?? 0).toLocaleString('en-GB')} of ${panels.toLocaleString('en-GB')}`}</p>
        <p className="fine">Stopped, nothing of it is kept.</p>
        <div className="notebook-acts">
          <button type="button" className="btn" onClick={() => void act('jobs.cancel', { jobId })}>
            Stop
          </button>
        </div>
      </div>
    )
  }
  if (state !== 'done')
    return (
      <NotTaken
        said={state === 'cancelled' ? 'Stopped: nothing was taken in.' : 'Nothing was taken in.'}
        onBack={onBack}
        onClose={onClose}
      >
        <FieldError id="notebook-failed" said={job?.error ?? null} />
      </NotTaken>
    )
  if (how === 'undone')
    return (
      <NotTaken said="Taking in the notebook was undone." onBack={onBack} onClose={onClose}>
        <p>None of its panels hangs on the rack.</p>
      </NotTaken>
    )
  return (
    <div className="notebook-taking" role="status">
      <p className="lead">{`${countOf(panels, 'panel')} ${panels === 1 ? 'hangs' : 'hang'} on the rack.`}</p>
      {leftOut > 0 ? (
        <p>{`${countOf(leftOut, 'row')} ${leftOut === 1 ? 'was' : 'were'} left out. Put them right in the table and choose it again: codes that are there already are left out.`}</p>
      ) : null}
      {colours < panels ? (
        <p className="fine">Photograph those without a colour one by one, beside the grey card.</p>
      ) : null}
      <div className="notebook-acts">
        <button
          type="button"
          className="btn main"
          onClick={() => {
            onClose()
            go({ at: 'rack' })
          }}
        >
          Show the rack
        </button>
        {how === 'next' ? (
          <button
            type="button"
            className="btn"
            onClick={() => {
              void undo.run(useStore.getState())
              // what is undone is not told as taken
              useNotebook.setState({ taking: null, open: false })
            }}
          >
            {undoWords}
          </button>
        ) : null}
        <button type="button" className="btn plain push" onClick={onClose}>
          Close
        </button>
      </div>
    </div>
  )
}

type NotTakenProps = { said: string; children: ReactNode } & Pick<Props, 'onBack' | 'onClose'>

const NotTaken = ({ said, children, onBack, onClose }: NotTakenProps) => (
  <div className="notebook-taking" role="status">
    <p className="lead">{said}</p>
    {children}
    <div className="notebook-acts">
      <button type="button" className="btn main" onClick={onBack}>
        Back to the table
      </button>
      <button type="button" className="btn plain push" onClick={onClose}>
        Close
      </button>
    </div>
  </div>
)
