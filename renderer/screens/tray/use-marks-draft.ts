import { useEffect } from 'react'
import { isOnlyLookedAt } from '../../commands/command.ts'
import { useStore } from '../../state/store.ts'
import { keepMarks } from './desk-actions.ts'
import { changeMarks, hasUnkept, useDesk } from './desk-state.ts'
import { marksOf } from './marks.ts'
import { beforeOf, dropDraft, readDraft, writeDraft } from './marks-draft.ts'

/** Long enough not to write at every pixel of a drag. */
const restMs = 300

/** Lays marks that never reached the rack on their photo again; Undo takes them away. */
function layDraft(): void {
  const { photo, kept } = useDesk.getState()
  const draft = readDraft()
  if (!photo || draft?.photoId !== photo.id || photo.filed) return
  dropDraft(photo.id)
  if (draft.before !== beforeOf(photo) || isOnlyLookedAt(useStore.getState())) return
  const marks = marksOf(draft.layout)
  const { setupId, flatPhotoId, ...said } = draft.circumstances
  const circumstances = { ...kept.circumstances, setupId, flatPhotoId, ...said }
  changeMarks(marks)
  useDesk.setState({ circumstances, chosen: marks.list.length > 0 ? { key: 0, handle: null, band: 0 } : null })
  useStore.getState().say('Your marks on this photo are here again.', 'Undo takes them away.')
  void keepMarks()
}

/** Nothing that was marked gets lost: a page that is hidden keeps it, and one that was ended by force finds it again. */
export function useMarksDraft(): void {
  const photoId = useDesk((s) => s.photo?.id)
  useEffect(() => {
    if (photoId !== undefined) layDraft()
  }, [photoId])
  useEffect(() => {
    let wait: ReturnType<typeof setTimeout> | undefined
    const stop = useDesk.subscribe((now, before) => {
      if (now.marks === before.marks && now.circumstances === before.circumstances && now.kept === before.kept) return
      clearTimeout(wait)
      // filed, discarded or kept
      if (now.photo !== null && now.photo.id === before.photo?.id && !hasUnkept(now)) dropDraft(now.photo.id)
      else wait = setTimeout(writeDraft, restMs)
    })
    // a page that is closed is told of both
    let keeping: Promise<unknown> | null = null
    const keep = (event: Event) => {
      if (event.type !== 'pagehide' && document.visibilityState === 'visible') return
      writeDraft()
      keeping ??= keepMarks().finally(() => {
        keeping = null
      })
    }
    document.addEventListener('visibilitychange', keep)
    addEventListener('pagehide', keep)
    return () => {
      stop()
      clearTimeout(wait)
      document.removeEventListener('visibilitychange', keep)
      removeEventListener('pagehide', keep)
    }
  }, [])
}
