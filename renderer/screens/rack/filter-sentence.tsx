import type { PanelFilter } from '../../../shared-core/records/panel.ts'
import { Cross } from '../../parts/icons.tsx'
import { useStore } from '../../state/store.ts'
import { AddWord } from './add-word.tsx'
import { wordsOf } from './filter-words.ts'

/** What is shown, as a sentence; a word with its cross is one button that removes it. */
export function FilterSentence({ filter, shown, total }: { filter: PanelFilter; shown: number; total: number }) {
  const setView = useStore((s) => s.setView)
  const words = wordsOf(filter)
  return (
    <div className="rack-sentence say">
      <p role="status">
        {words.length === 0 ? (
          <>
            <b>{total}</b> {total === 1 ? 'panel' : 'panels'}
          </>
        ) : (
          <>
            <b>{shown}</b> of {total} {total === 1 ? 'panel' : 'panels'}:
          </>
        )}
      </p>
      {words.map((word) => (
        <button
          key={word.key}
          type="button"
          className="word"
          aria-label={`Remove ${word.text}`}
          onClick={() => setView({ filter: word.without })}
        >
          <span>{word.text}</span>
          <Cross />
        </button>
      ))}
      <AddWord filter={filter} />
    </div>
  )
}
