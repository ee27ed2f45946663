import { useShallow } from 'zustand/react/shallow'
import { useAnswer } from '../../../state/asking.ts'
import { useDesk } from '../desk-state.ts'
import { areasOf } from '../marks.ts'

/** A reference needs a name, and one area whose colour is wanted; one that is there already gets another reading. */
export function ReferenceName() {
  const [name, referenceId, marks] = useDesk(useShallow((s) => [s.referenceName, s.referenceId, s.marks]))
  const references = useAnswer('references.list', {}).value?.references ?? []
  const coloured = areasOf(marks).filter(({ area }) => area.shape.kind !== 'fade').length
  return (
    <>
      {references.length > 0 ? (
        <label className="field">
          <span>Which reference</span>
          <select
            className="select"
            value={referenceId ?? ''}
            onChange={(event) => useDesk.setState({ referenceId: event.target.value || null })}
          >
            <option value="">a new one</option>
            {references.map((reference) => (
              <option key={reference.id} value={reference.id}>
                {reference.name}
              </option>
            ))}
          </select>
        </label>
      ) : null}
      {referenceId === null ? (
        <label className="field">
          <span>Name of the reference</span>
          <input
            className="input"
            value={name}
            maxLength={200}
            placeholder="Customer’s chip, left tank"
            onChange={(event) => useDesk.setState({ referenceName: event.target.value })}
          />
        </label>
      ) : null}
      {coloured > 1 ? <p className="fine">The chosen area is the colour wanted: the others are not kept.</p> : null}
    </>
  )
}
