import { type FormEvent, useState } from 'react'
import { Dialog } from '../../../parts/dialog.tsx'
import { FieldError } from '../../../parts/field-error.tsx'
import { KeptWords } from '../../../parts/kept-words.tsx'
import { act, useAnswer } from '../../../state/asking.ts'
import { forgetKept, hasKept, useKept } from '../../../state/draft.ts'
import { useJobDialogs } from '../../../state/job-dialogs.ts'
import { go } from '../../../state/router.ts'
import { useStore } from '../../../state/store.ts'
import { TextField } from '../text-field.tsx'
import { blankJob } from './blank-job.ts'

/** What its words are kept under. */
const form = 'new-job'
const noTitle = { message: 'The job has no name yet.', remedy: 'Write what is painted: “Tank and mudguards”.' }

export function NewJobDialog() {
  const beginning = useJobDialogs((s) => s.beginning)
  const [turn, setTurn] = useState(0)
  return beginning ? (
    <Begin
      key={turn}
      onEmpty={() => {
        forgetKept(form)
        setTurn(turn + 1)
      }}
    />
  ) : null
}

function Begin({ onEmpty }: { onEmpty: () => void }) {
  const [kept] = useState(() => hasKept(form))
  const tolerance = useStore((s) => s.settings.sameLimit)
  const references = useAnswer('references.list', {}).value?.references ?? []
  const [title, setTitle] = useKept('new-job.title')
  const [customer, setCustomer] = useKept('new-job.customer')
  const [dueOn, setDueOn] = useKept('new-job.due')
  const [referenceId, setReferenceId] = useState(() => useJobDialogs.getState().referenceId ?? '')
  const [wrong, setWrong] = useState(false)
  const close = () => useJobDialogs.setState({ beginning: false, referenceId: null })
  const giveUp = () => {
    forgetKept(form)
    close()
  }
  const submit = async (event: FormEvent) => {
    event.preventDefault()
    setWrong(title.trim() === '')
    if (title.trim() === '') return
    const made = await act('customerJobs.save', {
      draft: {
        ...blankJob(title.trim(), tolerance),
        customer: customer.trim(),
        dueOn: dueOn || null,
        referenceId: referenceId || null,
      },
    })
    if (!made) return
    giveUp()
    go({ at: 'jobs', key: made.job.code })
  }
  return (
    <Dialog title="New job" onClose={close}>
      <form className="jobs-new" onSubmit={(event) => void submit(event)} noValidate>
        {kept ? <KeptWords onEmpty={onEmpty} /> : null}
        <TextField label="What is painted" value={title} onValue={setTitle} hint="Tank and mudguards" maxLength={200} />
        <TextField label="Customer" value={customer} onValue={setCustomer} maxLength={200} />
        <TextField label="Due" type="date" value={dueOn} onValue={setDueOn} />
        <label className="field">
          <span>Reference</span>
          <select className="select" value={referenceId} onChange={(event) => setReferenceId(event.target.value)}>
            <option value="">chosen later</option>
            {references.map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </select>
        </label>
        <FieldError id="jobs-new-wrong" said={wrong ? noTitle : null} />
        <p className="jobs-acts">
          <button type="submit" className="btn main">
            Begin the job
          </button>
          <button type="button" className="btn plain" onClick={giveUp}>
            Cancel
          </button>
        </p>
      </form>
    </Dialog>
  )
}
