import type { Suspect } from '../../../../shared-core/records/film.ts'
import { Dialog } from '../../../parts/dialog.tsx'
import { SuspectRow } from '../../../parts/film/suspect-row.tsx'
import { Doubt } from '../../../parts/icons.tsx'
import { go } from '../../../state/router.ts'
import { reasonsInWords } from './doubts.ts'

type Props = { suspects: readonly Suspect[]; current: boolean; onAsk: () => void }

/** Beside the code of a panel that does not fit the rest; pressed, it says why. */
export function DoubtMark({ suspects, current, onAsk }: Props) {
  return (
    <button
      type="button"
      className="rack-doubt"
      aria-label={`${suspects[0]?.code} does not fit the rest: ${reasonsInWords(suspects)}`}
      tabIndex={current ? 0 : -1}
      onClick={onAsk}
      onKeyDown={(event) => {
        // on the wall these open and choose the panel
        if (event.key === 'Enter' || event.key === ' ') event.stopPropagation()
      }}
    >
      <Doubt />
    </button>
  )
}

/** Why a panel does not fit, on demand. */
export function DoubtDialog({ suspects, onClose }: { suspects: readonly Suspect[]; onClose: () => void }) {
  const code = suspects[0]?.code ?? ''
  return (
    <Dialog title={`${code} does not fit the rest`} onClose={onClose}>
      <ul className="rack-doubts">
        {suspects.map((suspect) => (
          <SuspectRow key={suspect.readingId} suspect={suspect} />
        ))}
      </ul>
      <p className="fine">It stays on the rack, and predictions count it less.</p>
      <div className="rack-doubt-acts">
        <button type="button" className="btn main" onClick={() => go({ at: 'panel', key: code })}>
          {`Open ${code}`}
        </button>
        <button type="button" className="btn" onClick={onClose}>
          Close
        </button>
      </div>
    </Dialog>
  )
}
