import { type FormEvent, useState } from 'react'
import type { Output } from '../../../../shared-core/contract/calls.ts'
import { Caution } from '../../../parts/caution.tsx'
import { Dialog } from '../../../parts/dialog.tsx'
import { act, useAnswer } from '../../../state/asking.ts'
import { closeShelfDialog } from '../../../state/shelf.ts'
import { useStore } from '../../../state/store.ts'
import { kindsInWords } from '../kinds-in-words.ts'

const some = (named: readonly { code: string }[]): string => {
  const codes = named.map(({ code }) => code)
  return codes.length > 6 ? `${codes.slice(0, 6).join(', ')} and ${codes.length - 6} more` : codes.join(', ')
}

/** Where it would be done, and where it would not. */
function changes({ panels, jobs, sprayedPanelCount }: Output<'shelf.previewReplace'>): [number, string][] {
  const named = (words: string, of: readonly { code: string }[]) => (of.length > 0 ? `${words}: ${some(of)}` : words)
  return [
    [panels.length, named(panels.length === 1 ? 'planned panel changes' : 'planned panels change', panels)],
    [jobs.length, named(jobs.length === 1 ? 'job’s formula changes' : 'jobs’ formulas change', jobs)],
    [sprayedPanelCount, `sprayed ${sprayedPanelCount === 1 ? 'panel stays' : 'panels stay'} as written down`],
  ]
}

/** One material in another's place, with where that would be said before it is done. */
export function ReplaceDialog({ materialId }: { materialId: string }) {
  const materials = useAnswer('materials.list', {}).value?.materials ?? []
  const { value, error } = useAnswer('shelf.previewReplace', { materialId })
  const material = materials.find(({ id }) => id === materialId)
  const others = materials.filter(
    ({ id, kind, replacedById }) => id !== materialId && kind === material?.kind && replacedById === null,
  )
  const [chosen, setChosen] = useState('')
  const other = others.find(({ id }) => id === chosen)
  const [busy, setBusy] = useState(false)
  if (!material) return null
  async function submit(event: FormEvent) {
    event.preventDefault()
    if (!other || busy) return
    setBusy(true)
    const done = await act('shelf.replace', { materialId, byMaterialId: other.id })
    setBusy(false)
    if (!done) return
    closeShelfDialog()
    useStore.getState().say(`${other.name} took the place of ${material?.name}.`, 'Undo takes it back everywhere.')
  }
  return (
    <Dialog title={`Put another in the place of ${material.name}`} onClose={closeShelfDialog}>
      <form className="shelf-new" onSubmit={(event) => void submit(event)}>
        {others.length === 0 ? (
          <p>{`There are no other ${kindsInWords(material.kind).toLowerCase()} on the shelf. Add the one that takes its place first.`}</p>
        ) : (
          <label className="field">
            <span>Takes its place</span>
            <select className="select" value={chosen} onChange={(event) => setChosen(event.target.value)}>
              <option value="">choose it</option>
              {others.map(({ id, name, onShelf }) => (
                <option key={id} value={id}>
                  {onShelf ? name : `${name} (off the shelf)`}
                </option>
              ))}
            </select>
          </label>
        )}
        {error ? <Caution message={error.message} remedy={error.remedy} /> : null}
        {value ? (
          <ul className="shelf-preview">
            {changes(value).map(([count, says]) => (
              <li key={says}>
                <b className="num">{count}</b>
                <span>{says}</span>
              </li>
            ))}
          </ul>
        ) : null}
        <p>{material.name} comes off the shelf, and says what took its place.</p>
        <Caution
          message="Another product is another colour."
          remedy="Formulas keep their parts: spray a check panel before the job. Its data sheet says whether it may be mixed with the rest."
        />
        <p className="shelf-acts">
          <button type="submit" className="btn main" aria-disabled={!other || busy}>
            {other ? `Put ${other.name} in its place` : 'Put it in its place'}
          </button>
          <button type="button" className="btn plain" onClick={closeShelfDialog}>
            Cancel
          </button>
        </p>
      </form>
    </Dialog>
  )
}
