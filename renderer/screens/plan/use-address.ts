import { useEffect, useEffectEvent, useRef } from 'react'
import { useShallow } from 'zustand/react/shallow'
import type { FilmKnowledge, PlanFormula } from '../../../shared-core/records/film.ts'
import { planOfRack, setPlan, usePlan } from '../../state/plan.ts'
import { formulaToText, planAddress } from '../../state/plan-address.ts'
import { go } from '../../state/router.ts'
import { useStore } from '../../state/store.ts'
import { firstFormula, knownPart, unknownIn } from './first-formula.ts'

/** Browsers refuse an address that changes with every pixel of a slider. */
const addressRestMs = 250

type Addressed = { formula: PlanFormula | null; referenceId: string | null }

const nameOf = ({ formula, referenceId }: Addressed): string =>
  `${formula ? formulaToText(formula) : ''} ${referenceId ?? ''}`

/** The address and the sliders say the same: an address that is opened sets them, and they write theirs. */
export function useAddress(addressed: Addressed, knows: FilmKnowledge, folder: string): void {
  const set = usePlan(useShallow((s) => ({ formula: s.formula, referenceId: s.referenceId })))
  const [asked, now] = [nameOf(addressed), nameOf(set)]
  // the rack learnt its first candy, or lost one that the sliders name
  const unfit = set.formula === null ? firstFormula(knows) !== null : unknownIn(set.formula, knows).length > 0
  /** What was last taken from the address or written to it. */
  const agreed = useRef<string | null>(null)

  const take = useEffectEvent(() => {
    planOfRack(folder)
    const isNew = agreed.current !== asked
    if (!isNew && !unfit) return
    agreed.current = asked
    const kept = usePlan.getState()
    const wanted = (isNew ? addressed.formula : null) ?? kept.formula ?? firstFormula(knows)
    const missing = wanted ? unknownIn(wanted, knows) : []
    const formula = wanted && missing.length > 0 ? knownPart(wanted, knows) : wanted
    // an address without a reference keeps the one that was chosen
    setPlan({ formula, referenceId: addressed.referenceId ?? kept.referenceId })
    if (missing.length > 0)
      useStore.getState().say(`This rack does not have ${missing.join(' and ')} of that formula.`, 'It was left out.')
  })
  useEffect(() => take(), [asked, folder, unfit])

  const write = useEffectEvent(() => {
    agreed.current = now
    go(planAddress(set.formula, set.referenceId), 'replace')
  })
  useEffect(() => {
    if (agreed.current === null || agreed.current === now) return
    const wait = setTimeout(() => write(), addressRestMs)
    return () => clearTimeout(wait)
  }, [now])
}
