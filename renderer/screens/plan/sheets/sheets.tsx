import './sheets.css'
import { useEffect } from 'react'
import type { FilmKnowledge, KnownGround, PlanFormula } from '../../../../shared-core/records/film.ts'
import { closeSheet, usePlanSheet } from '../../../state/plan-dialog.ts'
import { AddCandySheet } from './add-candy-sheet.tsx'
import { GroundsSheet } from './grounds-sheet.tsx'
import { PutOnListSheet } from './put-on-list-sheet.tsx'
import { ShelfSheet } from './shelf-sheet.tsx'
import { SprayListSheet } from './spray-list-sheet.tsx'

type Props = { formula: PlanFormula; knows: FilmKnowledge; grounds: readonly KnownGround[] }

/** What lies over the place, one at a time; it does not outlive the place. */
export function Sheets({ formula, knows, grounds }: Props) {
  const open = usePlanSheet((s) => s.open)
  useEffect(() => closeSheet, [])
  switch (open) {
    case 'add-candy':
      return <AddCandySheet formula={formula} knows={knows} />
    case 'grounds':
      return <GroundsSheet knows={knows} />
    case 'put-on-list':
      return <PutOnListSheet formula={formula} knows={knows} grounds={grounds} />
    case 'spray-list':
      return <SprayListSheet />
    case 'shelf':
      return <ShelfSheet knows={knows} />
    case null:
      return null
  }
}
