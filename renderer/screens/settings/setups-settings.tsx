import { useState } from 'react'
import type { Setup } from '../../../shared-core/records/setup.ts'
import { ChangeButton, ChangeFields } from '../../parts/change-only.tsx'
import { sayDay } from '../../parts/say-numbers.ts'
import { residualInWords } from '../../parts/setup-words.ts'
import { act, useAnswer } from '../../state/asking.ts'
import { useStore } from '../../state/store.ts'

/** Calibrated cameras and lights: what they are called, how good they are, how old. */
export function SetupsSettings() {
  const isOpen = useStore((s) => s.rack !== null && s.rack !== undefined)
  const { value, error } = useAnswer('setups.list', isOpen ? {} : null)
  return (
    <section className="block settings-setups" aria-label="Set-ups">
      <h2>Set-ups</h2>
      <p>
        A set-up is one phone or camera in one light with its settings, calibrated once with the 24-patch chart. Photos
        taken with it later need only the grey card.
      </p>
      {error ? <p>{`${error.message} ${error.remedy}`}</p> : null}
      {isOpen ? null : <p className="fine">Set-ups belong to a rack, and none is open.</p>}
      {value?.setups.length === 0 ? (
        <p className="fine">
          None yet. Lay the chart beside panel and card, photograph them, mark the chart in the Tray, then choose “Keep
          as set-up…”.
        </p>
      ) : null}
      {value && value.setups.length > 0 ? (
        <ul>
          {value.setups.map((setup) => (
            <OneSetup key={setup.id} setup={setup} />
          ))}
        </ul>
      ) : null}
    </section>
  )
}

function OneSetup({ setup }: { setup: Setup }) {
  const settings = useStore((s) => s.settings)
  const light = useStore((s) => s.lights.find((one) => one.id === setup.lightId)?.name)
  const remove = async () => {
    if (!(await act('setups.remove', { setupId: setup.id }))) return
    useStore
      .getState()
      .say(`The set-up “${setup.name}” was removed.`, 'Readings taken with it stay. Undo brings it back.')
  }
  const facts = [
    setup.camera ?? 'Camera not in the file',
    light ?? 'light not named',
    `calibrated ${sayDay(setup.calibratedAt)}`,
  ]
  return (
    <li aria-label={setup.name}>
      <SetupName setup={setup} />
      <p>{facts.join(', ')}.</p>
      <p className="fine">{residualInWords(setup.fit.residual, settings)}</p>
      <ChangeButton type="button" className="btn" onClick={() => void remove()}>
        Remove “{setup.name}”
      </ChangeButton>
    </li>
  )
}

/** Kept when the field is left or Enter is pressed; an empty name goes back to what it was. */
function SetupName({ setup }: { setup: Setup }) {
  const [name, setName] = useState(setup.name)
  const [before, setBefore] = useState(setup.name)
  if (before !== setup.name) {
    setBefore(setup.name)
    setName(setup.name)
  }
  const keep = async () => {
    const wanted = name.trim()
    if (wanted === setup.name) return
    if (wanted === '' || !(await act('setups.change', { setupId: setup.id, name: wanted }))) setName(setup.name)
  }
  return (
    <label className="field">
      <span>Name</span>
      <ChangeFields>
        <input
          className="input"
          value={name}
          maxLength={120}
          autoComplete="off"
          onChange={(event) => setName(event.target.value)}
          onBlur={() => void keep()}
          onKeyDown={(event) => {
            if (event.key === 'Enter') void keep()
          }}
        />
      </ChangeFields>
    </label>
  )
}
