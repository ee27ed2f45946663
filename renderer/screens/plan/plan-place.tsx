import './plan.css'
import { useShallow } from 'zustand/react/shallow'
import type { FilmKnowledge, PlanFormula } from '../../../shared-core/records/film.ts'
import { Caution } from '../../parts/caution.tsx'
import { isRead } from '../../parts/film/film-words.ts'
import { useAnswer } from '../../state/asking.ts'
import { usePlan } from '../../state/plan.ts'
import { useStore } from '../../state/store.ts'
import { useLong } from '../../state/use-long.ts'
import { firstFormula, shownGrounds, unknownIn } from './first-formula.ts'
import { FormulaPanel } from './formula/formula-panel.tsx'
import { NothingKnown } from './nothing-known.tsx'
import { Sheets } from './sheets/sheets.tsx'
import { Side } from './side/side.tsx'
import { PlanTable } from './table/plan-table.tsx'
import { useAddress } from './use-address.ts'

type Props = {
  /** As the address says; null: what was worked on last. */
  formula: PlanFormula | null
  referenceId: string | null
}

/** What was never sprayed: predicted, suggested, planned. */
export function PlanPlace(props: Props) {
  const folder = useStore((s) => s.rack?.folder)
  const { value, error } = useAnswer('film.describe', {})
  const long = useLong(value === undefined && error === null)
  if (error)
    return (
      <main className="plan-alone" aria-label="Plan">
        <Caution message={error.message} remedy={error.remedy} />
      </main>
    )
  if (!value || folder === undefined)
    return (
      <main className="plan-alone" aria-label="Plan" aria-busy="true">
        <p role="status">{long ? 'Learning from the panels of this rack…' : ''}</p>
      </main>
    )
  return <Known {...props} knows={value.knows} folder={folder} />
}

function Known({ formula: addressed, referenceId, knows, folder }: Props & { knows: FilmKnowledge; folder: string }) {
  const [formula, chosenGrounds] = usePlan(useShallow((s) => [s.formula, s.grounds]))
  useAddress({ formula: addressed, referenceId }, knows, folder)
  const grounds = shownGrounds(knows, chosenGrounds)
  if (firstFormula(knows) === null || grounds.length === 0) return <NothingKnown knows={knows} />
  if (!formula || unknownIn(formula, knows).length > 0) return <main className="plan-alone" aria-busy="true" />
  return (
    <main className="plan" aria-label="Plan">
      <FormulaPanel formula={formula} knows={knows} />
      <PlanTable
        formula={formula}
        grounds={grounds}
        usualCoats={knows.usualCoats}
        onlyGround={knows.grounds.filter(isRead).length === 1}
      />
      <Side formula={formula} knows={knows} grounds={grounds} />
      <Sheets formula={formula} knows={knows} grounds={grounds} />
    </main>
  )
}
