import { type FormEvent, useState } from 'react'
import { kindFromName } from '../../../../shared-core/mix/material-names.ts'
import { readStock } from '../../../../shared-core/mix/stock.ts'
import { type MaterialKind, namedMaterial } from '../../../../shared-core/records/mixture.ts'
import { client } from '../../../client/client.ts'
import { Dialog } from '../../../parts/dialog.tsx'
import { FieldError, type Said } from '../../../parts/field-error.tsx'
import { KeptWords } from '../../../parts/kept-words.tsx'
import { act } from '../../../state/asking.ts'
import { forgetKept, hasKept, useKept } from '../../../state/draft.ts'
import { go } from '../../../state/router.ts'
import { closeShelfDialog } from '../../../state/shelf.ts'
import { useStore } from '../../../state/store.ts'
import { TextField } from '../../jobs/text-field.tsx'
import { useWording } from '../../mix/say-amounts.ts'
import { asKind, kindInWords, kindsInOrder } from '../kinds-in-words.ts'

/** What its words are kept under. */
const form = 'new-material'
const noName = { message: 'It has no name yet.', remedy: 'Write what you call it: “Tidewater”, “slow reducer”.' }

/** A material that no formula has named yet. What else is known of it is written down on its own page. */
export function NewMaterialDialog() {
  const [turn, setTurn] = useState(0)
  return (
    <Fields
      key={turn}
      onEmpty={() => {
        forgetKept(form)
        setTurn(turn + 1)
      }}
    />
  )
}

function Fields({ onEmpty }: { onEmpty: () => void }) {
  const [kept] = useState(() => hasKept(form))
  const { system } = useWording()
  const [name, setName] = useKept('new-material.name')
  const [chosen, setChosen] = useState<MaterialKind | null>(null)
  const [amount, setAmount] = useKept('new-material.amount')
  const [wrong, setWrong] = useState<Said | null>(null)
  const [busy, setBusy] = useState(false)
  // "slow reducer" says what it is
  const kind = chosen ?? kindFromName(name)
  const dry = kind === 'pearl' || kind === 'flake'
  const read = amount.trim() === '' ? null : readStock(amount, dry ? 'mass' : 'volume', system)
  const giveUp = () => {
    forgetKept(form)
    closeShelfDialog()
  }
  async function submit(event: FormEvent) {
    event.preventDefault()
    if (busy) return
    if (name.trim() === '') return setWrong(noName)
    if (read && !read.ok) return setWrong(read)
    setBusy(true)
    const { onHand: _, dataSheetFile: __, replacedById: ___, ...blank } = namedMaterial('', name.trim(), kind)
    const answer = await client().call('shelf.save', { material: { ...blank, id: null } })
    setBusy(false)
    if (!answer.ok)
      return answer.error.code === 'material/name-taken'
        ? setWrong(answer.error)
        : useStore.getState().warn(answer.error)
    const { id: materialId } = answer.value.material
    if (read)
      await act('shelf.count', {
        materialId,
        onHand: { amount: read.amount, basis: read.basis },
        how: 'counted',
        batch: '',
      })
    giveUp()
    go({ at: 'shelf', materialId })
  }
  return (
    <Dialog title="New material" onClose={closeShelfDialog}>
      <form className="shelf-new" onSubmit={(event) => void submit(event)} noValidate>
        {kept ? <KeptWords onEmpty={onEmpty} /> : null}
        <TextField label="Name" value={name} onValue={setName} hint="Tidewater" maxLength={120} />
        <label className="field">
          <span>Kind</span>
          <select className="select" value={kind} onChange={(event) => setChosen(asKind(event.target.value))}>
            {kindsInOrder.map((each) => (
              <option key={each} value={each}>
                {kindInWords(each)}
              </option>
            ))}
          </select>
        </label>
        <TextField
          label="On hand, if you have counted it"
          value={amount}
          onValue={setAmount}
          hint={dry ? '25 g or 1 oz' : system === 'us' ? '12 fl oz or 2.1 lb' : '350 mL or 0.4 kg'}
          maxLength={60}
        />
        <FieldError id="shelf-new-wrong" said={wrong} />
        <p className="shelf-acts">
          <button type="submit" className="btn main" aria-disabled={busy}>
            Put it on the shelf
          </button>
          <button type="button" className="btn plain" onClick={giveUp}>
            Cancel
          </button>
        </p>
      </form>
    </Dialog>
  )
}
