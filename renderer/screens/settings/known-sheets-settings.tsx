import type { KnownSheet } from '../../../shared-core/records/photo-sheet.ts'
import { ChangeButton } from '../../parts/change-only.tsx'
import { sayDay, sayNumber } from '../../parts/say-numbers.ts'
import { act, useAnswer } from '../../state/asking.ts'
import { useStore } from '../../state/store.ts'

/** Printed photo sheets that a chart has taught, and in which light. */
export function KnownSheetsSettings() {
  const isOpen = useStore((s) => s.rack !== null && s.rack !== undefined)
  const { value, error } = useAnswer('sheets.listKnown', isOpen ? {} : null)
  return (
    <section className="block settings-setups" aria-label="Photo sheets">
      <h2>Photo sheets</h2>
      <p>
        Nobody knows what a printer’s grey is. Photograph a printed sheet once with the 24-patch chart in its place, in
        your light: from then on all sheets of that number are charts themselves.
      </p>
      {error ? <p>{`${error.message} ${error.remedy}`}</p> : null}
      {isOpen ? null : <p className="fine">Known sheets belong to a rack, and none is open.</p>}
      {value?.sheets.length === 0 ? (
        <p className="fine">
          None yet. Print one (Print on a panel, then Photo sheets), take its picture with chart and card, and choose
          “Learn this sheet’s colours” in the Tray.
        </p>
      ) : null}
      {value && value.sheets.length > 0 ? (
        <ul>
          {value.sheets.map((sheet) => (
            <OneSheet key={sheet.id} sheet={sheet} />
          ))}
        </ul>
      ) : null}
    </section>
  )
}

function OneSheet({ sheet }: { sheet: KnownSheet }) {
  const settings = useStore((s) => s.settings)
  const light = useStore((s) => s.lights.find((one) => one.id === sheet.lightId)?.name)
  const name = `Sheet ${sheet.series}`
  const forget = async () => {
    if (!(await act('sheets.forget', { knownSheetId: sheet.id }))) return
    useStore.getState().say(`${name} was forgotten.`, 'Readings taken with it stay. Undo brings it back.')
  }
  const known = sheet.fit.inks.filter((ink) => ink !== null).length
  return (
    <li aria-label={name}>
      <h3>{name}</h3>
      <p>{`${light ?? 'Light not named'}, learnt ${sayDay(sheet.learnedAt)}.`}</p>
      <p className="fine">
        {`${known} of ${sheet.fit.inks.length} greys and colours are known; all of them may be off together by ± ${sayNumber(sheet.fit.shared90, 1, settings)} (dE00).`}
      </p>
      <ChangeButton type="button" className="btn" onClick={() => void forget()}>
        Forget {name}
      </ChangeButton>
    </li>
  )
}
