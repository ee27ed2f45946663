import type { FilmKnowledge } from '../../../../shared-core/records/film.ts'
import { Dialog } from '../../../parts/dialog.tsx'
import { isRead } from '../../../parts/film/film-words.ts'
import { Paint } from '../../../parts/lab-swatch.tsx'
import { setPlan, usePlan } from '../../../state/plan.ts'
import { closeSheet } from '../../../state/plan-dialog.ts'
import { shownGrounds } from '../first-formula.ts'

const bareInWords = {
  cleared: 'read bare under clear',
  raw: 'read bare before clear only',
  none: 'never read bare: a strip without candy pays most',
} as const

/** As many as one question may hold. */
const mostGrounds = 40

/** Which grounds stand across the table. */
export function GroundsSheet({ knows }: { knows: FilmKnowledge }) {
  const chosen = usePlan((s) => s.grounds)
  const shown = shownGrounds(knows, chosen).map(({ id }) => id)
  const turn = (id: string) => {
    const next = shown.includes(id) ? shown.filter((each) => each !== id) : [...shown, id]
    if (next.length > 0 && next.length <= mostGrounds) setPlan({ grounds: next })
  }
  const read = knows.grounds.filter(isRead).toSorted((a, b) => b.stepCount - a.stepCount)
  return (
    <Dialog title="Grounds across the table" onClose={closeSheet}>
      <ul className="plan-ground-list scroll">
        {read.map((ground) => (
          <li key={ground.id}>
            <label className="plan-candy">
              <Paint lab={ground.lab} cut={ground.cut} label="" />
              <span>
                <b>{ground.name}</b>
                <span className="fine">
                  {`${ground.stepCount === 1 ? '1 step' : `${ground.stepCount} steps`}, ${bareInWords[ground.bare]}`}
                </span>
              </span>
              <input type="checkbox" checked={shown.includes(ground.id)} onChange={() => turn(ground.id)} />
            </label>
          </li>
        ))}
      </ul>
      <p className="fine">One ground stays. What is chosen later stands further to the right.</p>
      <div className="plan-acts">
        <button type="button" className="btn main" onClick={closeSheet}>
          Done
        </button>
        <button type="button" className="btn plain" onClick={() => setPlan({ grounds: null })}>
          Most used grounds
        </button>
      </div>
    </Dialog>
  )
}
