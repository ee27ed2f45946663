import { useState } from 'react'
import { MakeRackDialog } from './make-rack-dialog.tsx'

/** The way from a second place to a whole rack, for whoever has no rack open. */
export function FromSecondPlace() {
  const [open, setOpen] = useState(false)
  return (
    <>
      <button type="button" className="btn plain" onClick={() => setOpen(true)}>
        Make a rack from a second place
      </button>
      {open ? <MakeRackDialog onClose={() => setOpen(false)} /> : null}
    </>
  )
}
