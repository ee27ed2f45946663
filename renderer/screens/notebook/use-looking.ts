import { useRef, useState } from 'react'
import type { Output } from '../../../shared-core/contract/calls.ts'
import {
  type ColumnUse,
  mostBytes,
  type NotebookAnswers,
  type NotebookChoices,
  noNotebookAnswers,
  usualNotebookChoices,
} from '../../../shared-core/records/notebook.ts'
import { client } from '../../client/client.ts'
import type { Said } from '../../parts/field-error.tsx'

export type Seen = Output<'panelsCsv.preview'>
export type Chosen = { path: string; name: string }
type Plan = { columns: ColumnUse[] | null; answers: NotebookAnswers; choices: NotebookChoices }

const freshPlan: Plan = { columns: null, answers: noNotebookAnswers, choices: usualNotebookChoices }

/** A file, how it is to be understood, and what the service makes of it: asked again with every change. */
export function useLooking() {
  const [chosen, setChosen] = useState<Chosen | null>(null)
  const [plan, setPlan] = useState<Plan>(freshPlan)
  const [seen, setSeen] = useState<Seen | null>(null)
  const [said, setSaid] = useState<Said | null>(null)
  const [busy, setBusy] = useState(false)
  const latest = useRef(0)

  async function look(file: Chosen, wanted: Plan): Promise<void> {
    const turn = ++latest.current
    setBusy(true)
    setPlan(wanted)
    const answer = await client().call('panelsCsv.preview', { ...file, ...wanted })
    // an answer to an older question is dropped
    if (turn !== latest.current) return
    setBusy(false)
    setSaid(answer.ok ? null : answer.error)
    if (!answer.ok) return
    setSeen(answer.value)
    // the answers stay what was typed meanwhile; the proposal fills what nobody said
    setPlan({ ...wanted, columns: answer.value.columns.map(({ use }) => use), answers: answer.value.answers })
  }

  async function choose(file: File): Promise<void> {
    latest.current++
    setSeen(null)
    setChosen(null)
    setSaid(null)
    if (file.size > mostBytes) {
      setSaid({
        message: `${file.name} is larger than ${mostBytes / 1024 ** 2} MB, and a notebook of thousands of panels is not.`,
        remedy: 'Choose the table of panels, saved as CSV.',
      })
      return
    }
    setBusy(true)
    try {
      const staged = { path: await client().stage(file), name: file.name }
      setChosen(staged)
      await look(staged, freshPlan)
    } catch {
      setBusy(false)
      setSaid({ message: `${file.name} could not be handed over.`, remedy: 'Try again, or choose another file.' })
    }
  }

  const change = (more: Partial<Plan>) => {
    if (chosen) void look(chosen, { ...plan, ...more })
  }
  return {
    chosen,
    plan,
    seen,
    said,
    busy,
    choose,
    change,
    tell: setSaid,
    again: () => {
      latest.current++
      setSeen(null)
      setChosen(null)
      setBusy(false)
      setSaid(null)
    },
  }
}
