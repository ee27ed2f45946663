import { useState } from 'react'
import type { CheckReport } from '../../../../shared-core/records/check.ts'
import { ChangeButton } from '../../../parts/change-only.tsx'
import { useStore } from '../../../state/store.ts'
import { UnneededDialog } from './unneeded-dialog.tsx'
import { counted, saySize } from './words.ts'

/** Originals of discarded photos: kept until somebody asks to clear them. */
export function UnneededBlock({ report }: { report: CheckReport }) {
  const settings = useStore((s) => s.settings)
  const [open, setOpen] = useState(false)
  const { unneeded, trash } = report
  return (
    <section className="block check-block" aria-label="Originals of discarded photos">
      <h2>Originals of discarded photos</h2>
      <p>
        {unneeded.count === 0
          ? 'There are none.'
          : `${counted(unneeded.count, 'original')}, ${saySize(unneeded.byteCount, settings)}, that nothing needs any more.`}
      </p>
      {trash.count > 0 ? (
        <p>{`In the rack’s trash: ${counted(trash.count, 'file')}, ${saySize(trash.byteCount, settings)}.`}</p>
      ) : null}
      <p className="fine">They are kept, so that discarding can be undone. Nothing clears them but you.</p>
      {unneeded.count + trash.count > 0 ? (
        <div className="check-acts">
          <ChangeButton type="button" className="btn" onClick={() => setOpen(true)}>
            Look at them
          </ChangeButton>
        </div>
      ) : null}
      {open ? <UnneededDialog trash={trash} onClose={() => setOpen(false)} /> : null}
    </section>
  )
}
