import './sheets.css'
import { useState } from 'react'
import { client } from '../../../client/client.ts'
import { Dialog } from '../../../parts/dialog.tsx'
import { act } from '../../../state/asking.ts'
import { openDrawn } from '../../../state/open-drawn.ts'
import { usePlan } from '../../../state/plan.ts'
import { closeSheet } from '../../../state/plan-dialog.ts'
import { useWording } from '../../sheet/use-printing.ts'
import { CupSize } from '../formula/cup.tsx'
import { plannedInWords, usePlanned } from '../lists/planned.tsx'

/** As many panels as one list holds. */
const mostListed = 60

/** The paper to spray from: which planned panels, and how large a cup. @param only the one that is ticked at first */
export function SprayListSheet({ only = null }: { only?: string | null }) {
  const planned = usePlanned()
  const cupMl = usePlan((s) => s.cupMl)
  const wording = useWording()
  const [ticks, setTicks] = useState<Readonly<Record<string, boolean>>>({})
  const [busy, setBusy] = useState(false)
  const isTicked = (id: string) => ticks[id] ?? (only === null || only === id)
  const ticked = planned.filter(({ id }) => isTicked(id))
  const chosen = ticked.slice(0, mostListed)
  const draw = async () => {
    if (chosen.length === 0 || busy) return
    setBusy(true)
    const drawn = await act('plan.drawSprayList', { panelIds: chosen.map(({ id }) => id), cupMl, wording })
    if (drawn) await openDrawn(drawn, closeSheet)
    setBusy(false)
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
                    checked={isTicked(panel.id)}
                    onChange={() => setTicks({ ...ticks, [panel.id]: !isTicked(panel.id) })}
                  />
                  <span>
                    <b className="num">{panel.code}</b> {panel.title}
                    <span className="fine">{plannedInWords(panel)}</span>
                  </span>
                </label>
              </li>
            ))}
          </ul>
          {ticked.length > mostListed ? (
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
