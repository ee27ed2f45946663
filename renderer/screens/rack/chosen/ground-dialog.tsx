import { useState } from 'react'
import { changeChosen, panelsInWords } from '../../../commands/chosen/change-many.ts'
import { Dialog } from '../../../parts/dialog.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { closeRackDialog } from '../../../state/rack-dialog.ts'
import { useStore } from '../../../state/store.ts'
import { Suggested } from './suggested.tsx'

/** Says of all chosen panels what ground they were sprayed over. */
export function GroundDialog() {
  const count = useStore((s) => s.chosen.length)
  const [text, setText] = useState('')
  const known = useAnswer('panels.listWords', {}).value?.grounds ?? []
  const ground = text.trim()
  const save = async () => {
    const said = (panels: string) => `${panels}: the ground is “${ground}” now.`
    if (await changeChosen(useStore.getState(), { ground }, said)) closeRackDialog()
  }
  return (
    <Dialog title={`Ground of ${panelsInWords(count)}`} onClose={closeRackDialog}>
      <Suggested label="Sprayed over" text={text} known={known} onText={setText} onTake={setText} />
      <p className="fine">The ground layer is called so from now on; its mixture, coats and readings stay.</p>
      <div className="rack-acts">
        <button
          type="button"
          className="btn main"
          aria-disabled={ground === ''}
          onClick={() => (ground === '' ? null : void save())}
        >
          {`Change ${panelsInWords(count)}`}
        </button>
        <button type="button" className="btn" onClick={closeRackDialog}>
          Leave as they are
        </button>
      </div>
    </Dialog>
  )
}
