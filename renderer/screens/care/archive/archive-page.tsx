import './archive.css'
import { useEffect } from 'react'
import { useStore } from '../../../state/store.ts'
import { askComparison, useTaking } from './archive-state.ts'
import { MakeArchive } from './make-archive.tsx'
import { OpenArchive } from './open-archive.tsx'
import { Preview } from './preview.tsx'
import { TakeIn } from './take-in.tsx'

/** The rack as one file, and what comes in from another. */
export function ArchivePage() {
  const folder = useStore((s) => s.rack?.folder)
  const isReading = useStore((s) => s.rack?.access.mode === 'reading')
  const comparison = useTaking((s) => s.comparison)
  useEffect(() => {
    void askComparison()
  }, [folder])
  if (comparison && folder !== undefined) return <Preview key={comparison.id} comparison={comparison} />
  return (
    <div className="archive">
      {folder === undefined || isReading ? null : <TakeIn />}
      {folder === undefined ? null : <MakeArchive />}
      <OpenArchive />
      {isReading ? <p className="fine">This rack is only looked at: nothing can be taken into it here.</p> : null}
    </div>
  )
}
