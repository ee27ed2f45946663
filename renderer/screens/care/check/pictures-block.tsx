import { useState } from 'react'
import type { CheckReport } from '../../../../shared-core/records/check.ts'
import { ChangeButton } from '../../../parts/change-only.tsx'
import { act } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'
import { askReport } from './check-state.ts'
import { counted, saySize } from './words.ts'

/** Small pictures for the screen: how much room they take, and making them anew. */
export function PicturesBlock({ report }: { report: CheckReport }) {
  const settings = useStore((s) => s.settings)
  const [busy, setBusy] = useState(false)
  const { pictures } = report
  const make = async (which: 'missing' | 'all') => {
    if (busy) return
    setBusy(true)
    await act('check.rebuildRenditions', { which })
    await askReport()
    setBusy(false)
  }
  return (
    <section className="block check-block" aria-label="Small pictures">
      <h2>Small pictures</h2>
      {pictures ? (
        <p>
          {`${counted(pictures.known.count, 'small picture')} for the screen, ${saySize(pictures.known.byteCount, settings)}.`}
          {pictures.missing > 0 ? ` Those of ${counted(pictures.missing, 'photo')} are not there.` : ''}
        </p>
      ) : (
        <p>How many there are is counted at the first look through.</p>
      )}
      <p className="fine">
        Made from the originals. What is missing is made when it is looked at, as long as its original is there.
      </p>
      <div className="check-acts">
        <ChangeButton type="button" className="btn" aria-disabled={busy} onClick={() => void make('missing')}>
          Make the missing ones
        </ChangeButton>
        <ChangeButton type="button" className="btn" aria-disabled={busy} onClick={() => void make('all')}>
          Make all anew
        </ChangeButton>
      </div>
    </section>
  )
}
