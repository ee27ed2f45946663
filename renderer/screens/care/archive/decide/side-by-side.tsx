import '../../history/history.css'
import type { ComparedPanel } from '../../../../../shared-core/records/archive.ts'
import { Caution } from '../../../../parts/caution.tsx'
import { Dialog } from '../../../../parts/dialog.tsx'
import { useAnswer } from '../../../../state/asking.ts'
import { FactTable, type SideWords } from '../../history/facts/fact-table.tsx'
import { fateHelp, fateWords } from '../words.ts'
import { ChoiceField, Outcome } from './choice-field.tsx'

const bothWords: SideWords = { before: 'Mine', after: 'Theirs', added: 'only theirs', removed: 'only mine' }
const newWords: SideWords = { ...bothWords, added: 'new' }

type Props = {
  comparisonId: string
  /** Those of the table, in its order. */
  panels: readonly ComparedPanel[]
  panelId: string
  onShow: (panelId: string) => void
  onClose: () => void
}

/** One panel as it hangs here beside the one there, with its colours, and what becomes of it. */
export function SideBySide({ comparisonId, panels, panelId, onShow, onClose }: Props) {
  const at = panels.findIndex(({ id }) => id === panelId)
  const panel = panels[at]
  const { value, error } = useAnswer('archive.compareOne', { comparisonId, panelId })
  if (!panel) return null
  const { code, title, ours, fate } = panel
  const step = (by: 1 | -1, words: string) => {
    const to = panels[at + by]
    return (
      <button type="button" className="btn" aria-disabled={!to} onClick={() => (to ? onShow(to.id) : undefined)}>
        {words}
      </button>
    )
  }
  return (
    <Dialog
      title={
        ours && (ours.code !== code || ours.title !== title)
          ? `Mine: ${ours.code} ${ours.title}. Theirs: ${code} ${title}`
          : `${code} ${title}`
      }
      onClose={onClose}
    >
      <div className="archive-beside">
        <p>
          <b>{fateWords[fate]}.</b> {fateHelp[fate]}
        </p>
        <div className="archive-beside-facts scroll" aria-busy={!value && !error}>
          {error ? <Caution message={error.message} remedy={error.remedy} /> : null}
          {value?.groups.map((group, i) => (
            <FactTable key={`${group.name} ${i}`} group={group} words={ours ? bothWords : newWords} />
          ))}
          {value?.groups.length === 0 ? <p>Both say the same in every field.</p> : null}
          {value && ours ? <p className="fine">All else is the same in both.</p> : null}
        </div>
        <div className="archive-beside-acts">
          <span className="archive-choice">
            <ChoiceField panel={panel} />
            <Outcome panel={panel} />
          </span>
          <span className="push" />
          {step(-1, 'Previous')}
          {step(1, 'Next')}
          <button type="button" className="btn main" onClick={onClose}>
            Done
          </button>
        </div>
      </div>
    </Dialog>
  )
}
