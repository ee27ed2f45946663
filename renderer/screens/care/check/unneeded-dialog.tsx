import { useState } from 'react'
import type { CheckReport } from '../../../../shared-core/records/check.ts'
import { Dialog } from '../../../parts/dialog.tsx'
import { sayDay } from '../../../parts/say-numbers.ts'
import { act, useAnswer } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'
import { askReport } from './check-state.ts'
import { counted, saySize } from './words.ts'

/** Which originals of discarded photos there are; to the trash, and out of it for good. */
export function UnneededDialog({ trash, onClose }: { trash: CheckReport['trash']; onClose: () => void }) {
  const settings = useStore((s) => s.settings)
  const photos = useAnswer('check.listUnneeded', {}).value?.photos
  const [gone, setGone] = useState<ReadonlySet<string>>(new Set())
  const [left, setLeft] = useState<ReadonlySet<string>>(new Set())
  const [sure, setSure] = useState(false)
  const there = (photos ?? []).filter(({ photoId }) => !gone.has(photoId))
  const chosen = there.filter(({ photoId }) => !left.has(photoId))
  const size = saySize(
    chosen.reduce((sum, { byteCount }) => sum + byteCount, 0),
    settings,
  )
  const clear = async () => {
    if (chosen.length === 0) return
    const photoIds = chosen.map(({ photoId }) => photoId)
    const moved = await act('check.clearUnneeded', { photoIds })
    if (!moved) return
    setGone(new Set([...gone, ...photoIds]))
    useStore.getState().say(`${counted(moved.count, 'original')} moved to the rack’s trash.`)
    await askReport()
  }
  const empty = async () => {
    if (!sure) return setSure(true)
    const removed = await act('check.emptyTrash', {})
    if (!removed) return
    setSure(false)
    useStore.getState().say(`${counted(removed.count, 'file')} deleted for good.`)
    await askReport()
  }
  return (
    <Dialog title="Originals of discarded photos" onClose={onClose}>
      <div className="check-unneeded">
        <p>
          Moved to the trash, they lie in the folder “trash” inside the rack. Undoing the discard then brings the photo
          back with its small pictures, and says that its original is missing: a look through puts it back from the
          trash.
        </p>
        {there.length === 0 ? (
          <p>{photos ? 'No original is without use.' : 'Looking which there are'}</p>
        ) : (
          <ul className="check-items scroll">
            {there.map(({ photoId, name, byteCount, discardedAt }) => (
              <li key={photoId}>
                <label className="check">
                  <input
                    type="checkbox"
                    checked={!left.has(photoId)}
                    onChange={() => {
                      const next = new Set(left)
                      if (!next.delete(photoId)) next.add(photoId)
                      setLeft(next)
                    }}
                  />
                  <b>{name}</b>
                </label>
                <span className="fine">{`${saySize(byteCount, settings)}, discarded on ${sayDay(discardedAt)}`}</span>
              </li>
            ))}
          </ul>
        )}
        <div className="check-acts">
          <button
            type="button"
            className="btn main"
            aria-disabled={chosen.length === 0}
            title={chosen.length === 0 ? 'Choose at least one.' : 'Moves them to the folder “trash” inside the rack'}
            onClick={() => void clear()}
          >
            {chosen.length === 0 ? 'Move to the trash' : `Move ${chosen.length} to the trash, ${size}`}
          </button>
          {trash.count > 0 ? (
            <button type="button" className="btn" onClick={() => void empty()}>
              {sure
                ? `Yes, delete ${counted(trash.count, 'file')} for good`
                : `Empty the trash, ${saySize(trash.byteCount, settings)}`}
            </button>
          ) : null}
          <button type="button" className="btn plain" onClick={onClose}>
            Close
          </button>
        </div>
        {sure ? <p>Deleted files cannot be brought back, not even by undo.</p> : null}
      </div>
    </Dialog>
  )
}
