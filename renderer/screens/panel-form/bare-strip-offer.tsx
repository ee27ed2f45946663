import type { PanelDraft } from '../../../shared-core/records/panel.ts'
import { useAnswer } from '../../state/asking.ts'
import { useModelAsked } from '../../state/suspects.ts'
import { bareWish, withStrip } from './bare-strip.ts'

type Props = {
  draft: PanelDraft
  onChange: (update: (draft: PanelDraft) => PanelDraft, how: 'step') => void
  onDismiss: () => void
}

/** Long enough that a form opened in passing asks nothing. */
const restMs = 300

/** One calm line under the steps, with one press to follow it and one to be left alone. */
export function BareStripOffer({ draft, onChange, onDismiss }: Props) {
  const asked = useModelAsked()
  const { value, error } = useAnswer('film.describe', asked ? {} : null, restMs)
  // without an answer nothing is known of the grounds; what holds for every panel is said all the same
  const wish = value || error || !asked ? bareWish(draft, value?.knows.grounds ?? null) : null
  if (!wish) return null
  return (
    <div className="bare-offer" role="note">
      <p>{wish.words}</p>
      <button
        type="button"
        className="btn"
        onClick={() => onChange((d) => ({ ...d, steps: withStrip(d.steps) }), 'step')}
      >
        {wish.button}
      </button>
      <button type="button" className="btn plain" onClick={onDismiss}>
        Not on this one
      </button>
    </div>
  )
}
