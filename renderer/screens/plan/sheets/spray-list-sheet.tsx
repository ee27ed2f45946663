import { useState } from 'react'
import { client } from '../../../client/client.ts'
import { Dialog } from '../../../parts/dialog.tsx'
import { act } from '../../../state/asking.ts'
import { usePlan } from '../../../state/plan.ts'
import { closeSheet } from '../../../state/plan-dialog.ts'
import { useStore } from '../../../state/store.ts'
import { CupSize } from '../formula/cup.tsx'
import { plannedInWords, usePlanned } from '../lists/planned.tsx'

/** As many panels as one list holds. */
const mostListed = 60

/** The paper to spray from: which planned panels, and how large a cup. */
export function SprayListSheet() {
  const planned = usePlanned()
  const cupMl = usePlan((s) => s.cupMl)
  const [without, setWithout] = useState<string[]>([])
  const [busy, setBusy] = useState(false)
  const chosen = planned.filter(({ id }) => !without.includes(id)).slice(0, mostListed)
  const draw = async () => {
    if (chosen.length === 0 || busy) return
    setBusy(true)
    const drawn = await act('plan.drawSprayList', { panelIds: chosen.map(({ id }) => id), cupMl })
    const trouble = drawn && (await client().openDocument(drawn.documentId, drawn.fileName))
    setBusy(false)
    if (trouble) useStore.getState().warn(trouble)
    else if (drawn) closeSheet()
  }
  return (
    <Dialog title="Print a spray list" onClose={closeSheet}>
      {planned.length === 0 ? (
        <p>Nothing is on the list yet. “Put on the list” makes a planned panel of a cell, a suggestion or the table.</p>
      ) : (
        <>
          <ul className="plan-tick-rows scroll">
            {planned.map((panel) => (
              <li key={panel.id}>
                <label className="check">
                  <input
                    type="checkbox"
                    checked={!without.includes(panel.id)}
                    onChange={() =>
                      setWithout(
                        without.includes(panel.id) ? without.filter((id) => id !== panel.id) : [...without, panel.id],
                      )
                    }
                  />
                  <span>
                    <b className="num">{panel.code}</b> {panel.title}
                    <span className="fine">{plannedInWords(panel)}</span>
                  </span>
                </label>
              </li>
            ))}
          </ul>
          {planned.length - without.length > mostListed ? (
            <p className="fine">{`One list holds ${mostListed} panels: the first are printed.`}</p>
          ) : null}
          <CupSize />
          <p className="fine">
            Printed at 100 % it has a box to tick for every step. Phones and computers stay out of the booth while there
            is vapour.
          </p>
        </>
      )}
      <div className="plan-acts">
        {planned.length > 0 ? (
          <button
            type="button"
            className="btn main"
            aria-disabled={chosen.length === 0 || busy}
            onClick={() => void draw()}
          >
            {busy ? 'Drawing…' : client().capabilities.canPrint ? 'Save as PDF to print' : 'Open PDF to print'}
          </button>
        ) : null}
        <button type="button" className="btn plain" onClick={closeSheet}>
          Close
        </button>
      </div>
    </Dialog>
  )
}
