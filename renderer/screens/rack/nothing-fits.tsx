import { noFilter, type PanelFilter } from '../../../shared-core/records/panel.ts'
import { useStore } from '../../state/store.ts'
import { wordsOf } from './filter-words.ts'

/** No panel fits the words: each can be removed here too. */
export function NothingFits({ filter }: { filter: PanelFilter }) {
  const setView = useStore((s) => s.setView)
  const words = wordsOf(filter)
  return (
    <div className="rack-nothing">
      <h2 className="say">No panel fits all of these words</h2>
      <p>Remove a word to see more panels.</p>
      <div className="rack-acts">
        {words.map((word) => (
          <button
            key={word.key}
            type="button"
            className="btn"
            onClick={() => setView({ filter: word.without })}
          >{`Without ${word.text}`}</button>
        ))}
        {words.length > 1 ? (
          <button type="button" className="btn main" onClick={() => setView({ filter: noFilter })}>
            Remove all words
          </button>
        ) : null}
      </div>
    </div>
  )
}
