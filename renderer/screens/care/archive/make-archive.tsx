import { useId } from 'react'
import { makeArchive } from '../../../commands/care/make-archive.ts'
import { CommandButton } from '../../../parts/command-button.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'
import { changeTaking, useTaking } from './archive-state.ts'
import { JobProgress } from './job-progress.tsx'
import { bytesWords } from './words.ts'

/** The whole rack as one file. */
export function MakeArchive() {
  const id = useId()
  const history = useTaking((s) => s.history)
  const suggested = useAnswer('archive.suggest', {}).value
  const running = useStore((s) =>
    Object.values(s.jobs).find((job) => job.label === 'Making an archive' && job.state === 'running'),
  )
  return (
    <section className="block archive-block" aria-labelledby={`${id}-head`}>
      <h2 id={`${id}-head`}>Make an archive</h2>
      <p>
        The whole rack as one file: panels, formulas, readings, photos and data sheets, each with its checksum. It opens
        on any computer with Overground, and any program that unpacks ZIP files shows what is inside.
      </p>
      {suggested ? (
        <p className="fine">
          {`The photos and data sheets come to ${bytesWords(suggested.byteCount)}${suggested.free === null ? '' : `; ${bytesWords(suggested.free)} are free where racks lie`}.`}
        </p>
      ) : null}
      <label className="check">
        <input
          type="checkbox"
          checked={history}
          onChange={(event) => changeTaking({ history: event.target.checked })}
        />
        <span>With the history of changes</span>
      </label>
      {history ? null : (
        <p className="fine">
          Without it nobody sees what was changed or removed before, and nothing in it can be undone.
        </p>
      )}
      {running ? (
        <JobProgress job={running} fallback="Making the archive" />
      ) : (
        <div className="archive-acts">
          <CommandButton command={makeArchive} look="main" />
        </div>
      )}
    </section>
  )
}
