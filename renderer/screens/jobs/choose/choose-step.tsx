import { useId, useState } from 'react'
import type { JobFormula } from '../../../../shared-core/records/customer-job.ts'
import { noFilter, type PanelSummary } from '../../../../shared-core/records/panel.ts'
import { coatsInWords } from '../../../parts/strokes.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { useRested } from '../../../state/use-rested.ts'
import { formulaOf } from './formula-from.ts'

type Props = { label: string; onFormula: (formula: JobFormula) => void }

/** Panels offered at once: more words narrow them. */
const offered = 100

const nameOf = ({ code, title }: PanelSummary): string => `${code} ${title}`.trim()

/** A panel by its code or title, then one of its steps. */
export function ChooseStep({ label, onFormula }: Props) {
  const list = useId()
  const [text, setText] = useState('')
  const words = useRested(text.trim(), text.trim(), 150)
  const { value } = useAnswer('panels.list', { filter: { ...noFilter, words }, sort: 'code', limit: offered })
  const panels = (value?.panels ?? []).filter(({ status }) => status !== 'retired')
  const wanted = text.trim().toLowerCase()
  const panel =
    wanted === ''
      ? undefined
      : panels.find((each) => nameOf(each).toLowerCase() === wanted || each.code.toLowerCase() === wanted)
  const take = async (stepId: string) => {
    const formula = panel && (await formulaOf({ panelId: panel.id, stepId, recipe: null }, []))
    if (!formula) return
    onFormula(formula)
    setText('')
  }
  return (
    <>
      <label className="field job-grow">
        <span>{label}</span>
        <input
          className="input"
          list={list}
          value={text}
          placeholder="code or title of the panel"
          autoComplete="off"
          onChange={(event) => setText(event.target.value)}
        />
      </label>
      <datalist id={list}>
        {panels.map((each) => (
          <option key={each.id} value={nameOf(each)}>
            {each.ground ?? ''}
          </option>
        ))}
      </datalist>
      {panel ? (
        <label className="field">
          <span>{`Which step of ${panel.code}`}</span>
          <select className="select" value="" onChange={(event) => void take(event.target.value)}>
            <option value="">choose</option>
            {panel.bands.map(({ stepId, coats }) => (
              <option key={stepId} value={stepId}>
                {coatsInWords(coats)}
              </option>
            ))}
          </select>
        </label>
      ) : null}
    </>
  )
}
