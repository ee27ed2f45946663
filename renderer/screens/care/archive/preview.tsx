import { useEffect } from 'react'
import type { Comparison, MergeParts } from '../../../../shared-core/records/archive.ts'
import type { Job } from '../../../../shared-core/records/job.ts'
import { undo } from '../../../commands/app/undo.ts'
import { takeIn } from '../../../commands/care/take-in.ts'
import { Caution } from '../../../parts/caution.tsx'
import { CommandButton } from '../../../parts/command-button.tsx'
import { FieldError } from '../../../parts/field-error.tsx'
import { go } from '../../../state/router.ts'
import { useStore } from '../../../state/store.ts'
import { useUndoOf } from '../../../state/undo-of.ts'
import { changeTaking, forgetComparison, takenPanels, useTaking } from './archive-state.ts'
import { useForeseenCodes } from './decide/foreseen-codes.ts'
import { PanelTable } from './decide/panel-table.tsx'
import { RuleList } from './decide/rule-list.tsx'
import { JobProgress } from './job-progress.tsx'
import { bytesWords, counted } from './words.ts'

/** What another rack has that this one has not, and what is to become of it. Nothing is taken in before it is confirmed. */
export function Preview({ comparison }: { comparison: Comparison }) {
  const takeJob = useTaking((s) => s.takeJob)
  const job = useStore((s) => (takeJob === null ? undefined : s.jobs[takeJob]))
  const putAway = useStore((s) => s.putAwayJob)
  const over = job !== undefined && job.state !== 'running' ? job.id : null
  useEffect(() => {
    // what became of it stands here: the frame need not say it once more
    if (over !== null) putAway(over)
  }, [over, putAway])
  useForeseenCodes(comparison)
  // the button's words follow what is chosen
  useTaking(takenPanels)
  if (job?.state === 'done') return <Taken name={comparison.name} job={job} />
  return (
    <section className="archive-preview" aria-label="What would be taken in">
      <header className="archive-preview-head">
        <p className="say" role="status">
          {headline(comparison)}
        </p>
        <p>{besides(comparison)}</p>
        <p className="fine archive-path">{comparison.path}</p>
        {comparison.cautions.map((caution) => (
          <Caution key={caution.code} message={caution.message} remedy={caution.remedy} />
        ))}
      </header>
      {comparison.panels.length > 0 ? (
        <div className="archive-decide">
          <RuleList comparison={comparison} />
          <PanelTable comparisonId={comparison.id} panels={comparison.panels} />
        </div>
      ) : null}
      <Parts comparison={comparison} />
      <footer className="archive-foot">
        <FieldError id="archive-take-error" said={job?.state === 'failed' ? job.error : null} />
        {job?.state === 'cancelled' ? <p>Stopped. Nothing was taken in.</p> : null}
        {job?.state === 'running' ? (
          <JobProgress job={job} fallback="Taking in" />
        ) : (
          <div className="archive-acts">
            <CommandButton command={takeIn} look="main" />
            <button type="button" className="btn plain" onClick={() => void forgetComparison()}>
              Not now
            </button>
            <p className="fine">One change: Undo takes all of it back. A backup is made first.</p>
          </div>
        )}
      </footer>
    </section>
  )
}

function headline({ name, panels, same, sameRack }: Comparison): string {
  if (panels.length === 0)
    return same === 0 ? `No panel hangs in “${name}”.` : `Every panel of “${name}” hangs here, as it hangs there.`
  const fresh = panels.filter(({ fate }) => fate === 'new').length
  const parts = [
    ...(fresh > 0 ? [`${counted(fresh, 'panel')} that ${fresh === 1 ? 'is' : 'are'} not here`] : []),
    ...(panels.length > fresh
      ? [`${counted(panels.length - fresh, 'panel')} that ${panels.length - fresh === 1 ? 'differs' : 'differ'}`]
      : []),
  ]
  return `“${name}” ${sameRack ? 'is a copy of this rack and ' : ''}has ${parts.join(' and ')}.`
}

function besides({ same, inTrashThere, photos, photoBytes }: Comparison): string {
  const said = [
    ...(same > 0
      ? [`${counted(same, 'panel')} hang${same === 1 ? 's' : ''} in both and ${same === 1 ? 'is' : 'are'} the same.`]
      : []),
    ...(photos > 0 ? [`${counted(photos, 'photo')} would be copied (${bytesWords(photoBytes)}).`] : []),
    ...(inTrashThere > 0 ? [`What lies in the trash there (${counted(inTrashThere, 'panel')}) stays there.`] : []),
  ]
  return said.join(' ')
}

const partsShown: readonly (readonly [keyof MergeParts, string, (comparison: Comparison) => string[]])[] = [
  [
    'shelf',
    'Shelf, guns, lights and set-ups',
    (c) => [
      ...(c.materials > 0 ? [counted(c.materials, 'material')] : []),
      ...(c.gunSetups > 0 ? [counted(c.gunSetups, 'gun set-up')] : []),
      ...(c.lights > 0 ? [counted(c.lights, 'light')] : []),
      ...(c.setups > 0 ? [counted(c.setups, 'photo set-up')] : []),
    ],
  ],
  ['references', 'References', (c) => (c.references > 0 ? [counted(c.references, 'reference')] : [])],
  [
    'jobs',
    'Jobs and cups',
    (c) => [...(c.jobs > 0 ? [counted(c.jobs, 'job')] : []), ...(c.cups > 0 ? [counted(c.cups, 'cup')] : [])],
  ],
  ['tray', 'Photos that wait in the tray there', (c) => (c.trayPhotos > 0 ? [counted(c.trayPhotos, 'photo')] : [])],
  ['searches', 'Saved searches', (c) => (c.searches > 0 ? [counted(c.searches, 'search', 'searches')] : [])],
]

function Parts({ comparison }: { comparison: Comparison }) {
  const parts = useTaking((s) => s.parts)
  const shown = partsShown.filter(([, , count]) => count(comparison).length > 0)
  if (shown.length === 0) return null
  return (
    <fieldset className="archive-parts">
      <legend>And beside the panels, what is not here yet</legend>
      {shown.map(([part, name, count]) => (
        <label key={part} className="check">
          <input
            type="checkbox"
            checked={parts[part]}
            onChange={(event) => changeTaking({ parts: { ...parts, [part]: event.target.checked } })}
          />
          <span>
            {name} <span className="fine">{count(comparison).join(', ')}</span>
          </span>
        </label>
      ))}
      <p className="fine">What a panel needs comes with it in any case. Counts on the shelf here stay as they are.</p>
    </fieldset>
  )
}

function Taken({ name, job: { outcome, changeId = null } }: { name: string; job: Job }) {
  const undoWords = useStore((s) => undo.label(s))
  const how = useUndoOf(changeId)
  const rest = () => changeTaking({ comparison: null, takeJob: null, lookJob: null, path: '' })
  useEffect(() => {
    // wherever it was undone: nothing is told as taken that is not here
    if (how === 'undone' && changeId !== null)
      changeTaking({ comparison: null, takeJob: null, lookJob: null, last: { name, changeId } })
  }, [how, changeId, name])
  return (
    <section className="archive-preview" aria-label="What was taken in" role="status">
      <p className="say">{`“${name}” is taken in.`}</p>
      <p>{how === 'behind' ? outcome?.replace(/ Undo takes all of it back\.$/, '') : outcome}</p>
      <div className="archive-acts">
        <button
          type="button"
          className="btn main"
          onClick={() => {
            rest()
            go({ at: 'rack' })
          }}
        >
          Show the rack
        </button>
        {how === 'next' ? (
          <button type="button" className="btn" onClick={() => void undo.run(useStore.getState())}>
            {undoWords}
          </button>
        ) : null}
        <button type="button" className="btn plain" onClick={() => rest()}>
          Take in another
        </button>
      </div>
    </section>
  )
}
