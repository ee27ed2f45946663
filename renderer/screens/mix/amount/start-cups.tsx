import { useState } from 'react'
import type { Measuring } from '../../../../shared-core/mix/cup/measuring.ts'
import type { Mixture } from '../../../../shared-core/records/mixture.ts'
import { ChangeButton } from '../../../parts/change-only.tsx'
import { act } from '../../../state/asking.ts'
import type { MixDraft, MixHabits } from '../../../state/mix-draft.ts'
import { openDrawn } from '../../../state/open-drawn.ts'
import { go } from '../../../state/router.ts'
import type { Choice, MixSource } from './source.ts'
import type { Outcome } from './work-out.ts'

type Props = {
  outcome: Outcome
  mixture: Mixture
  source: MixSource
  choice: Choice
  draft: MixDraft
  habits: MixHabits
  measuring: Measuring
}

/** Puts the cups on the record and goes to the first; the printed card comes before the mixing room. */
export function StartCups({ outcome, mixture, source, choice, draft, habits, measuring }: Props) {
  const [busy, setBusy] = useState(false)
  const worked = outcome.ok ? outcome.worked : null
  const cups = worked && worked.count > 1 ? `${worked.count} cups` : 'the cup'
  const missing = outcome.ok ? undefined : outcome.message

  async function start(withCard: boolean) {
    if (!worked || busy) return
    setBusy(true)
    const started = await act('cups.start', {
      title: titleOf(source, choice),
      mixture,
      target: worked.each,
      count: worked.count,
      measure: { by: measuring.by, step: measuring.step, dropMl: measuring.dropMl ?? null },
      cupMl: habits.cupMl,
      tipMm: draft.tipMm,
      customerJobId: source.customerJobId,
      panelId: source.panelId,
    })
    const card = started && withCard ? await act('cups.drawCard', { cupIds: started.cups.map(({ id }) => id) }) : null
    setBusy(false)
    if (!started) return
    // back leads past the form, which would start it once more
    go({ at: 'mix', cupId: started.cups[0]!.code, from: null }, 'replace')
    if (card) await openDrawn(card)
  }

  return (
    <div className="mix-start">
      <ChangeButton
        type="button"
        className="btn"
        aria-disabled={!worked || busy}
        title={missing}
        onClick={() => void start(true)}
      >
        Start and print the card
      </ChangeButton>
      <ChangeButton
        type="button"
        className="btn main"
        aria-disabled={!worked || busy}
        title={missing}
        onClick={() => void start(false)}
      >
        Start {cups}
      </ChangeButton>
    </div>
  )
}

/** "P-0042 Tidewater over gold; clear" where it is not the panel's first formula. */
const titleOf = ({ title, choices }: MixSource, { label }: Choice): string =>
  (choices[0]?.label === label ? title : `${title}: ${label.toLowerCase()}`).slice(0, 200)
