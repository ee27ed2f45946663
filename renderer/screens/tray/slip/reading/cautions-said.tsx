import type { Caution as CautionRecord } from '../../../../../shared-core/records/photo.ts'
import { Caution } from '../../../../parts/caution.tsx'

type Said = Pick<CautionRecord, 'message' | 'remedy' | 'weight'>

/** Warnings with what to do, first; notes say quietly what was done and ask for nothing. */
export function CautionsSaid({ said }: { said: readonly Said[] }) {
  const notes = said.filter(({ weight }) => weight === 'note')
  return (
    <>
      {said
        .filter(({ weight }) => weight !== 'note')
        .map(({ message, remedy }) => (
          <Caution key={message} message={message} remedy={remedy} />
        ))}
      {notes.map(({ message, remedy }) => (
        <p key={message} className="fine tray-note" role="note">
          {message} {remedy}
        </p>
      ))}
    </>
  )
}
