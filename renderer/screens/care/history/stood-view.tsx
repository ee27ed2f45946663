import { useState } from 'react'
import type { FactGroup, PanelStood } from '../../../../shared-core/records/history.ts'
import { restorePanel } from '../../../commands/care/restore-panel.ts'
import { bestReading } from '../../../parts/best-reading.ts'
import { Caution } from '../../../parts/caution.tsx'
import { CommandButton } from '../../../parts/command-button.tsx'
import { Paint } from '../../../parts/lab-swatch.tsx'
import { coatsInWords } from '../../../parts/strokes.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { chosenEntry, thenAsked, usePast } from '../../../state/past.ts'
import { useStore } from '../../../state/store.ts'
import { EntryHead } from './changed-view.tsx'
import { FactTable, pastWords } from './facts/fact-table.tsx'

/** How the panel stood after the chosen entry, or before it, beside how it stands now, and what restoring it would do. */
export function StoodView() {
  const keepLater = usePast((s) => s.keepLater)
  const before = usePast((s) => s.before)
  const set = usePast((s) => s.set)
  usePast((s) => s.entries)
  const entry = useStore((s) => chosenEntry(s))
  const asked = useStore((s) => JSON.stringify(thenAsked(s)))
  const { value, error } = useAnswer('history.panelAt', JSON.parse(asked) as ReturnType<typeof thenAsked>, 80)
  if (!entry) return null
  return (
    <article>
      <EntryHead entry={entry} />
      <div className="pair history-when" role="group" aria-label="Before or after this entry">
        <button type="button" aria-pressed={before} onClick={() => set({ before: true })}>
          As it stood before this
        </button>
        <button type="button" aria-pressed={!before} onClick={() => set({ before: false })}>
          As it stood after this
        </button>
      </div>
      {error ? <Caution message={error.message} remedy={error.remedy} /> : null}
      {value ? (
        <>
          <div className="history-restore">
            <CommandButton command={restorePanel} look="main" />
            <label className="check">
              <input
                type="checkbox"
                checked={keepLater}
                onChange={(event) => set({ keepLater: event.target.checked })}
              />
              Keep readings and photos that came later
            </label>
          </div>
          {value.hindrance === null ? null : <p className="history-said">{value.hindrance}</p>}
          {value.hindrance === null && !value.differs ? (
            <p className="history-said">
              {value.groups.some(({ did }) => did !== 'kept')
                ? 'Only what came later differs, and that stays: there is nothing to restore.'
                : 'It stands like that now: there is nothing to restore.'}
            </p>
          ) : null}
          {value.differs && value.notes.length > 0 ? (
            <ul className="history-notes">
              {value.notes.map((note) => (
                <li key={note}>
                  <Caution message={note} />
                </li>
              ))}
            </ul>
          ) : null}
          <div className="history-sides well">
            <Side name="Then" stood={value.past} />
            <Side name="Now" stood={value.now} />
          </div>
          <Compared groups={value.groups} />
        </>
      ) : null}
    </article>
  )
}

function Side({ name, stood }: { name: string; stood: PanelStood | null }) {
  if (!stood)
    return (
      <figure>
        <figcaption>{name}: not there</figcaption>
        <div className="history-bands is-empty" />
      </figure>
    )
  const { panel, readings } = stood
  return (
    <figure>
      <figcaption>
        {name}
        {stood.inTrash ? ', in the trash' : ''}
      </figcaption>
      <div className="history-bands">
        {panel.steps.map((step) => {
          const best = bestReading(
            readings.filter(({ stepId }) => stepId === step.id),
            panel.steps,
          )
          return (
            <div key={step.id}>
              <Paint lab={best?.lab ?? null} cut={best?.cut ?? null} label={coatsInWords(step.coats)} flat />
              <span className="fine">{coatsInWords(step.coats)}</span>
            </div>
          )
        })}
      </div>
    </figure>
  )
}

/** What differs first; what is the same is there when it is asked for. */
function Compared({ groups }: { groups: readonly FactGroup[] }) {
  const [whole, setWhole] = useState(false)
  const differing = groups.filter(({ did }) => did !== 'kept')
  const same = groups.filter(({ did }) => did === 'kept')
  return (
    <>
      {differing.map((group, i) => (
        <FactTable key={`${group.name} ${i}`} group={group} words={pastWords} />
      ))}
      {same.length > 0 && differing.length > 0 ? (
        <p className="history-same">
          <button type="button" className="btn plain" aria-expanded={whole} onClick={() => setWhole(!whole)}>
            {whole ? 'Hide what is the same' : 'Show what is the same'}
          </button>
          <span>{same.map(({ name }) => name).join(' · ')}</span>
        </p>
      ) : null}
      {whole || differing.length === 0
        ? same.map((group, i) => <FactTable key={`${group.name} ${i}`} group={group} words={pastWords} />)
        : null}
    </>
  )
}
