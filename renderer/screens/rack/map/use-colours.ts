import { useEffect } from 'react'
import { create } from 'zustand'
import type { Failure } from '../../../../shared-core/contract/calls.ts'
import type { PanelFilter } from '../../../../shared-core/records/panel.ts'
import type { ScreenSpace } from '../../../../shared-core/records/side.ts'
import { client } from '../../../client/client.ts'
import { useStore } from '../../../state/store.ts'
import { type MapSteps, mapSteps } from './geometry/steps.ts'

/** What was asked: rack, filter and the colours of the screen; and how the rack stood. */
type Question = { folder: string; filter: PanelFilter; space: ScreenSpace; revision: number }
type Answer = { of: string; revision: number; steps: MapSteps; panelCount: number }

/** One answer is kept, not one for every filter: tens of thousands of steps take megabytes. */
const useKept = create<{ answer: Answer | null; error: Failure | null }>(() => ({ answer: null, error: null }))

const keyOf = ({ folder, filter, space }: Question) => JSON.stringify([folder, filter, space])
/** A rack that changes ten times a second (photos coming in) is asked once in so long. */
const restMs = 1000
let asked: { question: Question; at: number } | null = null

/** The colours of all panels that fit; while a newer answer is on its way, the one before stays. */
export function useColours(filter: PanelFilter, space: ScreenSpace): { answer: Answer | null; error: Failure | null } {
  const folder = useStore((s) => s.rack?.folder ?? '')
  const revision = useStore((s) => s.rack?.revision ?? 0)
  const of = keyOf({ folder, filter, space, revision })
  useEffect(() => {
    const question = { folder, filter, space, revision }
    const known = useKept.getState().answer
    if (known?.of === of && known.revision === revision) return
    const since = asked && keyOf(asked.question) === of ? performance.now() - asked.at : restMs
    const wait = setTimeout(() => void ask(question), Math.max(0, restMs - since))
    return () => clearTimeout(wait)
  }, [of, folder, filter, space, revision])
  const { answer, error } = useKept()
  // another rack's panels never hang here
  return { answer: answer?.of.startsWith(`[${JSON.stringify(folder)},`) ? answer : null, error }
}

async function ask(question: Question): Promise<void> {
  asked = { question, at: performance.now() }
  const { filter, space, revision } = question
  const answer = await client().call('panels.colours', { filter })
  const of = keyOf(question)
  // another filter is wanted by now, or a newer answer is there
  const known = useKept.getState().answer
  if (!asked || keyOf(asked.question) !== of || (known?.of === of && known.revision > revision)) return
  if (answer.ok) {
    const { value } = answer
    useKept.setState({
      answer: { of, revision, steps: mapSteps(value, space), panelCount: value.panelCount },
      error: null,
    })
    return
  }
  useKept.setState({ error: answer.error })
  // a service that was started again answers soon
  if (answer.error.code === 'service/stopped')
    setTimeout(() => asked?.question === question && void ask(question), restMs)
}

/** For tests: as if nothing had been asked. */
export function forgetColours(): void {
  asked = null
  useKept.setState({ answer: null, error: null })
}
