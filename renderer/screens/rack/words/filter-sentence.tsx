import { savedSearches } from '../../../commands/rack/saved-searches.ts'
import { CommandButton } from '../../../parts/command-button.tsx'
import { Cross } from '../../../parts/icons.tsx'
import { countInWords } from '../../../parts/say-numbers.ts'
import type { RackOrder } from '../../../state/rack-order.ts'
import { useStore } from '../../../state/store.ts'
import { useLong } from '../../../state/use-long.ts'
import { AddWord } from './add-word.tsx'
import { Corrected } from './corrected.tsx'
import { wordsOf } from './filter-words.ts'

/** What is shown, as a sentence; a word with its cross is one button that removes it. */
export function FilterSentence({ order, behind }: { order: RackOrder; behind: boolean }) {
  const filter = useStore((s) => s.filter)
  const setView = useStore((s) => s.setView)
  const words = wordsOf(filter)
  // a number of other words would be wrong; one that comes at once need not blink
  const shown = useLong(behind) ? '…' : countInWords(order.ids.length)
  const { total, corrected } = order
  return (
    <>
      <div className="rack-sentence say">
        <p role="status">
          {words.length === 0 ? (
            <>
              <b>{countInWords(total)}</b> {total === 1 ? 'panel' : 'panels'}
            </>
          ) : (
            <>
              <b>{shown}</b> of {countInWords(total)} {total === 1 ? 'panel' : 'panels'}:
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
        <span className="push rack-searches">
          <CommandButton command={savedSearches} look="plain" />
        </span>
      </div>
      {behind ? null : <Corrected filter={filter} corrected={corrected} />}
    </>
  )
}
