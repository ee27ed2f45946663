import { useShallow } from 'zustand/react/shallow'
import { useDesk } from '../desk-state.ts'
import { areasOf } from '../marks.ts'

/** A reference needs a name, and one area whose colour is wanted. */
export function ReferenceName() {
  const [name, marks] = useDesk(useShallow((s) => [s.referenceName, s.marks]))
  const coloured = areasOf(marks).filter(({ area }) => area.shape.kind !== 'fade').length
  return (
    <>
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
      {coloured > 1 ? <p className="fine">The chosen area is the colour wanted: the others are not kept.</p> : null}
    </>
  )
}
