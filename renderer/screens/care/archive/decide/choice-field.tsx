import type { KeyboardEventHandler } from 'react'
import type { Choice, ComparedPanel } from '../../../../../shared-core/records/archive.ts'
import { changeTaking, useTaking } from '../archive-state.ts'
import { choicesOf, choiceWords, outcomeWords } from '../words.ts'

type Props = { panel: ComparedPanel; at?: number; onKeyDown?: KeyboardEventHandler<HTMLSelectElement> }

/** What becomes of one panel: as all of its kind, or decided by itself. */
export function ChoiceField({ panel, at, onKeyDown }: Props) {
  const own = useTaking((s) => s.choices[panel.id])
  const rule = useTaking((s) => s.rules[panel.fate])
  return (
    <select
      className="select"
      aria-label={`What becomes of ${panel.code} ${panel.title}`}
      value={own ?? ''}
      data-row={at}
      onKeyDown={onKeyDown}
      onChange={(event) => decide(panel.id, event.target.value as Choice | '')}
    >
      <option value="">{`As all: ${choiceWords(panel.fate, rule).toLowerCase()}`}</option>
      {choicesOf(panel.fate).map((one) => (
        <option key={one} value={one}>
          {choiceWords(panel.fate, one)}
        </option>
      ))}
    </select>
  )
}

/** What that comes to, in words. */
export function Outcome({ panel }: { panel: ComparedPanel }) {
  const choice = useTaking((s) => s.choices[panel.id] ?? s.rules[panel.fate])
  const code = useTaking((s) => s.codes[panel.id])
  return <span className="fine archive-cut">{outcomeWords(panel, choice, code)}</span>
}

function decide(id: string, choice: Choice | ''): void {
  const { [id]: _, ...others } = useTaking.getState().choices
  changeTaking({ choices: choice === '' ? others : { ...others, [id]: choice } })
}
