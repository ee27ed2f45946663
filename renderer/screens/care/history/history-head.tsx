import type { PanelNamed } from '../../../../shared-core/records/history.ts'
import { putPanelBack } from '../../../commands/care/put-panel-back.ts'
import { showThen } from '../../../commands/care/show-then.ts'
import { CommandButton } from '../../../parts/command-button.tsx'
import { PlaceLink } from '../../../parts/place-link.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { usePast } from '../../../state/past.ts'
import { go } from '../../../state/router.ts'
import { FindPanel } from './find-panel.tsx'

type Props = { panel: PanelNamed | null; who: string | null; onWho: (who: string | null) => void }

/** Whose history it is, and whose changes are listed. */
export function HistoryHead({ panel, who, onWho }: Props) {
  const painters = useAnswer('history.listPainters', {}).value?.painters ?? []
  return (
    <div className="history-head">
      {panel ? <OfPanel panel={panel} /> : <FindPanel />}
      {painters.length > 1 || who !== null ? (
        <label className="field history-who">
          <span>Changes by</span>
          <select className="select" value={who ?? '*'} onChange={(event) => onWho(nameOf(event.target.value))}>
            <option value="*">everybody</option>
            {painters.map((name) => (
              <option key={name} value={`=${name}`}>
                {name === '' ? 'nobody named' : name}
              </option>
            ))}
          </select>
        </label>
      ) : null}
      <Keys ofPanel={panel !== null} />
    </div>
  )
}

function Keys({ ofPanel }: { ofPanel: boolean }) {
  return (
    <p className="keys history-keys push">
      <span>
        <kbd>↑</kbd>
        <kbd>↓</kbd> entries
      </span>
      {ofPanel ? (
        <>
          <span>
            <kbd>V</kbd> changed or stood
          </span>
          <span>
            <kbd>G</kbd> before or after
          </span>
          <span>
            <kbd>R</kbd> restore
          </span>
        </>
      ) : null}
      <span>
        <kbd>Esc</kbd> back
      </span>
    </p>
  )
}

/** `*` is everybody; a painter's name stands behind a sign, for it may be empty. */
const nameOf = (value: string): string | null => (value === '*' ? null : value.slice(1))

function OfPanel({ panel }: { panel: PanelNamed }) {
  const view = usePast((s) => s.view)
  const set = usePast((s) => s.set)
  return (
    <>
      <div className="history-of">
        <h2 className="railname">
          {panel.where === 'rack' ? (
            <PlaceLink className="place-link" to={{ at: 'panel', key: panel.code }}>
              <b className="num">{panel.code}</b>
            </PlaceLink>
          ) : (
            <b className="num">{panel.code}</b>
          )}{' '}
          {panel.title}
        </h2>
        <p className="fine">{whereInWords[panel.where]}</p>
      </div>
      {panel.where === 'trash' ? <CommandButton command={putPanelBack} look="main" /> : null}
      <div className="pair" role="group" aria-label="What is shown of the entry">
        <button type="button" aria-pressed={view === 'changed'} onClick={() => set({ view: 'changed' })}>
          What was changed
        </button>
        <button
          type="button"
          aria-pressed={view === 'stood'}
          title={`How it stood (${showThen.shortcut?.toUpperCase()})`}
          onClick={() => set({ view: 'stood' })}
        >
          How it stood
        </button>
      </div>
      <button type="button" className="btn plain" onClick={() => go({ at: 'care', page: 'history' })}>
        Whole rack
      </button>
    </>
  )
}

const whereInWords: Record<PanelNamed['where'], string> = {
  rack: 'Everything that was changed on it.',
  trash: 'In the trash.',
  gone: 'Its making was undone. “How it stood” brings it back.',
}
