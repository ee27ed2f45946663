import { useState } from 'react'
import type { FilmKnowledge, KnownGround, PlanFormula } from '../../../../shared-core/records/film.ts'
import { Dialog } from '../../../parts/dialog.tsx'
import { formulaInWords } from '../../../parts/film/film-words.ts'
import { NotAPanel } from '../../../parts/film/not-a-panel.tsx'
import { coatsInWords } from '../../../parts/strokes.tsx'
import { setPlan, usePlan } from '../../../state/plan.ts'
import { closeSheet } from '../../../state/plan-dialog.ts'
import { useStore } from '../../../state/store.ts'
import { putPanels, titleOf } from '../acts.ts'

type Props = { formula: PlanFormula; knows: FilmKnowledge; grounds: readonly KnownGround[] }

/** Steps that can be ticked. */
const steps = [0, 1, 2, 3, 4, 5, 6, 7, 8]

/** The formula as panels to be sprayed: one for each ground, with the steps that are ticked. */
export function PutOnListSheet({ formula, knows, grounds }: Props) {
  const settings = useStore((s) => s.settings)
  const cell = usePlan((s) => s.cell)
  const usual = Math.max(1, Math.round(knows.usualCoats))
  const [title, setTitle] = useState(() => titleOf(formula, knows))
  const [chosen, setChosen] = useState<string[]>(() => [
    grounds.find(({ id }) => id === cell?.ground)?.id ?? grounds[0]?.id ?? '',
  ])
  const [coats, setCoats] = useState<number[]>(() => [...new Set([0, Math.max(1, Math.round(usual / 2)), usual])])
  const [busy, setBusy] = useState(false)
  const missing = chosen.length === 0 ? 'Tick a ground.' : coats.length === 0 ? 'Tick the coats of its steps.' : null
  const turned = <T,>(list: readonly T[], each: T): T[] =>
    list.includes(each) ? list.filter((other) => other !== each) : [...list, each]
  const put = async () => {
    if (missing !== null || busy) return
    setBusy(true)
    const inOrder = coats.toSorted((a, b) => a - b)
    const panels = grounds
      .filter(({ id }) => chosen.includes(id))
      .map(({ id }) => ({ ground: id, formula, coats: inOrder, title: title.trim() }))
    if (await putPanels(panels)) {
      setPlan({ tab: 'next' })
      closeSheet()
    }
    setBusy(false)
  }
  return (
    <Dialog title="Put on the list" onClose={closeSheet}>
      <p>{formulaInWords(formula, knows, settings)}</p>
      <label className="field">
        <span>Title of the panels</span>
        <input className="input" value={title} maxLength={200} onChange={(event) => setTitle(event.target.value)} />
      </label>
      <fieldset className="plan-ticks">
        <legend>Over, a panel each</legend>
        {grounds.map(({ id, name }) => (
          <label key={id} className="check">
            <input type="checkbox" checked={chosen.includes(id)} onChange={() => setChosen(turned(chosen, id))} />
            {name}
          </label>
        ))}
      </fieldset>
      <fieldset className="plan-ticks">
        <legend>Steps of each panel</legend>
        {steps.map((count) => (
          <label key={count} className="check">
            <input type="checkbox" checked={coats.includes(count)} onChange={() => setCoats(turned(coats, count))} />
            {count === 0 ? 'bare strip' : coatsInWords(count)}
          </label>
        ))}
      </fieldset>
      <p className="fine">
        A bare strip under clear pays most. <NotAPanel short />
      </p>
      <div className="plan-acts">
        <button type="button" className="btn main" aria-disabled={missing !== null || busy} onClick={() => void put()}>
          {missing ?? (chosen.length === 1 ? 'Put 1 panel on the list' : `Put ${chosen.length} panels on the list`)}
        </button>
        <button type="button" className="btn plain" onClick={closeSheet}>
          Cancel
        </button>
      </div>
    </Dialog>
  )
}
