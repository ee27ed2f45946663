import { useAnswer } from './asking.ts'

/** As many of the newest changes are looked at. */
const looked = 50

/**
 * How a change stands to Undo: `next` is what Undo takes back now, `undone` was taken back already, `behind` has something else
 * before it, null is not known yet.
 */
export function useUndoOf(changeId: string | null | undefined): 'next' | 'undone' | 'behind' | null {
  const asked = changeId ? { panelId: null, limit: looked } : null
  const entries = useAnswer('history.list', asked).value?.entries
  if (!changeId || !entries) return null
  const found = entries.find(({ id }) => id === changeId)
  if (found?.undone) return 'undone'
  return entries.find(({ kind, undone }) => kind === 'change' && !undone)?.id === changeId ? 'next' : 'behind'
}
