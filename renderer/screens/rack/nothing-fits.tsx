import { noFilter, type PanelFilter } from '../../../shared-core/records/panel.ts'
import { useStore } from '../../state/store.ts'
import { typedInWords, wordsOf } from './words/filter-words.ts'

/** No panel fits the words: each can be removed here too. */
export function NothingFits({ filter }: { filter: PanelFilter }) {
  const setView = useStore((s) => s.setView)
  const words = wordsOf(filter)
  const typedAlone = words.length === 1 && filter.words.trim() !== ''
  return (
    <div className="rack-nothing">
      <h2 className="say">
        {typedAlone ? `No panel has ${typedInWords(filter.words)}` : 'No panel fits all of these words'}
      </h2>
      <p>
        {typedAlone
          ? 'Looked for in codes, titles, notes, tags, grounds and materials, also where a letter is wrong.'
          : 'Remove a word to see more panels.'}
      </p>
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
