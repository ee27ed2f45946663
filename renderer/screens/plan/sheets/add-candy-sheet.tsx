import type { FilmKnowledge, KnownCandy, PlanFormula } from '../../../../shared-core/records/film.ts'
import { Dialog } from '../../../parts/dialog.tsx'
import { Paint } from '../../../parts/lab-swatch.tsx'
import { sayBound } from '../../../parts/say-numbers.ts'
import { coatsInWords } from '../../../parts/strokes.tsx'
import { setFormula } from '../../../state/plan.ts'
import { closeSheet } from '../../../state/plan-dialog.ts'
import { useStore } from '../../../state/store.ts'

/** Every candy that is not in the formula yet: its colour, whether it is on hand, how well it is known. */
export function AddCandySheet({ formula, knows }: { formula: PlanFormula; knows: FilmKnowledge }) {
  const settings = useStore((s) => s.settings)
  const left = knows.candies.filter(({ id }) => !formula.candies.some((candy) => candy.id === id))
  const sorted = left.toSorted(
    (a, b) => Number(b.stepCount > 0) - Number(a.stepCount > 0) || (a.name < b.name ? -1 : 1),
  )
  const add = (id: string) => {
    setFormula({ candies: [...formula.candies, { id, parts: 1 }] })
    closeSheet()
  }
  return (
    <Dialog title="Add a candy" onClose={closeSheet}>
      <p className="fine">One usual cover over a bright ground, as a screen preview.</p>
      {left.length === 0 ? <p>Every candy of this rack is in the formula already.</p> : null}
      <ul className="plan-candies scroll">
        {sorted.map((candy) => (
          <li key={candy.id}>
            <button type="button" className="plan-candy" onClick={() => add(candy.id)}>
              <Paint lab={candy.lab} label="" />
              <span>
                <b>{candy.name}</b>
                <span className="fine">{knownInWords(candy, (bound) => sayBound(bound, settings))}</span>
              </span>
              <span className="fine">{candy.onShelf ? 'on the shelf' : 'not on the shelf'}</span>
            </button>
          </li>
        ))}
      </ul>
      <button type="button" className="btn plain plan-close" onClick={closeSheet}>
        Close
      </button>
    </Dialog>
  )
}

/** "± 1.4; 14 steps over bright silver, copper and gold, up to 4 coats". */
export function knownInWords(
  { stepCount, grounds, coatsTo, bound90 }: KnownCandy,
  say: (bound: number) => string,
): string {
  if (stepCount === 0) return 'Never read: nothing can be predicted with it yet.'
  const over =
    grounds.length > 1 ? `${grounds.slice(0, -1).join(', ')} and ${grounds.at(-1)}` : (grounds[0] ?? 'no ground')
  const sure = bound90 === null ? '' : `± ${say(bound90)}; `
  return `${sure}${stepCount === 1 ? '1 step' : `${stepCount} steps`} over ${over}, up to ${coatsInWords(coatsTo)}`
}
