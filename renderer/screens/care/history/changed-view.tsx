import type { HistoryEntry, ThingChanged } from '../../../../shared-core/records/history.ts'
import { putPanelBack } from '../../../commands/care/put-panel-back.ts'
import { Caution } from '../../../parts/caution.tsx'
import { CommandButton } from '../../../parts/command-button.tsx'
import { PlaceLink } from '../../../parts/place-link.tsx'
import { saidDone } from '../../../parts/said-done.ts'
import { sayMoments } from '../../../parts/say-moments.ts'
import { sayDay } from '../../../parts/say-numbers.ts'
import { sayTime } from '../../../parts/say-time.ts'
import { useAnswer } from '../../../state/asking.ts'
import { chosenEntry, historyRoute, trashedShown, usePast } from '../../../state/past.ts'
import { useStore } from '../../../state/store.ts'
import { changeWords, FactTable } from './facts/fact-table.tsx'
import { undoneInWords } from './list/undone-words.ts'

/** What the chosen entry changed, field by field. */
export function ChangedView() {
  usePast((s) => s.entries)
  const entry = useStore((s) => chosenEntry(s))
  const { value, error } = useAnswer('history.describe', entry ? { changeId: entry.id } : null, 80)
  if (!entry) return null
  return (
    <article>
      <EntryHead entry={entry} />
      <OutOfTrash entry={entry} />
      {error ? <Caution message={error.message} remedy={error.remedy} /> : null}
      {value?.things.map((thing, i) => (
        <Thing key={i} thing={thing} changeId={entry.id} />
      ))}
      {value && value.more > 0 ? <p className="history-rest">… and {value.more} more.</p> : null}
      {value && value.things.length === 0 && entry.kind === 'change' ? (
        <p className="fine">Nothing that can be told in words was altered.</p>
      ) : null}
      {entry.kind === 'event' ? (
        <p className="fine">This concerns the whole rack; Undo does not take it back.</p>
      ) : null}
    </article>
  )
}

/** At the entry that removed a panel, and at any of one that lies in the trash. Over a panel's own history it stands above. */
function OutOfTrash({ entry }: { entry: HistoryEntry }) {
  const ofPanel = useStore((s) => historyRoute(s)?.panelId ?? null)
  const key = useStore((s) => trashedShown(s))
  const { value } = useAnswer('history.namePanel', key === null ? null : { key })
  const isRemoval = value?.removal === entry.id
  if (value?.panel.where !== 'trash' || (ofPanel !== null && !isRemoval)) return null
  return (
    <div className="history-restore">
      <CommandButton command={putPanelBack} />
      <span className="fine">{isRemoval ? 'as it stood before this' : 'It lies in the trash now.'}</span>
    </div>
  )
}

export function EntryHead({ entry }: { entry: HistoryEntry }) {
  const settings = useStore((s) => s.settings)
  const by = entry.who === '' ? '' : ` by ${entry.who}`
  return (
    <header className="history-entry-head">
      <h3 className="say">{sayMoments(saidDone(entry.label), settings)}</h3>
      <p>
        {`${sayDay(entry.at)}, ${sayTime(entry.at, settings)}${by}`}
        {entry.undone ? `; ${undoneInWords(entry, settings)}` : ''}
      </p>
    </header>
  )
}

const did: Record<ThingChanged['did'], string> = { added: 'new', changed: '', removed: 'removed' }

function Thing({ thing, changeId }: { thing: ThingChanged; changeId: string }) {
  const ofPanel = useStore((s) => historyRoute(s)?.panelId ?? null)
  return (
    <section className="history-thing">
      <h3 className="railname">
        {thing.what} {thing.name}
        {did[thing.did] ? <span className="history-did">{did[thing.did]}</span> : null}
        {thing.panelId !== null && thing.panelId !== ofPanel ? (
          <PlaceLink className="btn plain push" to={{ at: 'care', page: 'history', panelId: thing.panelId, changeId }}>
            Its history
          </PlaceLink>
        ) : null}
      </h3>
      {thing.groups.map((group, i) => (
        <FactTable key={`${group.name} ${i}`} group={group} words={changeWords} />
      ))}
    </section>
  )
}
