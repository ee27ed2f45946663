import type { PanelFilter } from '../../../../shared-core/records/panel.ts'
import type { WordTaken } from '../../../../shared-core/records/wall.ts'
import { useStore } from '../../../state/store.ts'

/** Words that nothing is called, and what is shown in their place; one press takes them as they were typed. */
export function Corrected({ filter, corrected }: { filter: PanelFilter; corrected: readonly WordTaken[] }) {
  const setView = useStore((s) => s.setView)
  if (corrected.length === 0) return null
  const typed = corrected.map((word) => word.typed)
  return (
    <p className="rack-corrected" role="status">
      <span>
        {corrected.map(({ typed: word, taken }) => (
          <span key={word}>
            Nothing is called “{word}”: showing <b>{taken.map((name) => `“${name}”`).join(' or ')}</b>.{' '}
          </span>
        ))}
      </span>
      <button
        type="button"
        className="btn plain"
        onClick={() => setView({ filter: { ...filter, words: asTyped(filter.words, typed) } })}
      >
        {typed.length === 1 ? `Search for “${typed[0]}” as typed` : 'Search as typed'}
      </button>
    </p>
  )
}

/** A word in quotation marks is looked for as it is. */
export function asTyped(words: string, typed: readonly string[]): string {
  const lower = typed.map((word) => word.toLowerCase())
  return words
    .split(/\s+/)
    .map((word) => (lower.includes(word.toLowerCase()) ? `"${word}"` : word))
    .join(' ')
    .trim()
}
