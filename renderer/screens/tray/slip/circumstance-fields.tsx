import { useState } from 'react'
import { useShallow } from 'zustand/react/shallow'
import { Stage, View } from '../../../../shared-core/records/colour.ts'
import type { Setup } from '../../../../shared-core/records/setup.ts'
import { NumberField } from '../../../parts/number-field.tsx'
import { stageInWords, viewInWords } from '../../../parts/views-in-words.ts'
import { act, useAnswer } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'
import { type Circumstances, useDesk } from '../desk-state.ts'
import { BlankSheetField } from './setup/blank-sheet-field.tsx'
import { SetupField } from './setup/setup-field.tsx'
import { suitingSetup } from './setup/suiting-setup.ts'

const change = (to: Partial<Circumstances>) =>
  useDesk.setState((s) => ({ circumstances: { ...s.circumstances, ...to } }))

/** Names the light; a set-up that was only proposed follows it. */
function changeLight(lightId: string | null, setups: readonly Setup[] | undefined): void {
  const { photo, setupProposed } = useDesk.getState()
  const follows = setupProposed && photo && setups
  change({ lightId, ...(follows ? { setupId: suitingSetup(setups, photo, lightId)?.id ?? null } : {}) })
}

/** The light, the set-up, the view of the flake, what the photo was taken of, and how old that was. */
export function CircumstanceFields() {
  const [circumstances, ageDays, aim] = useDesk(useShallow((s) => [s.circumstances, s.ageDays, s.aim]))
  const lights = useStore((s) => s.lights)
  const setups = useAnswer('setups.list', {}).value?.setups
  const [adding, setAdding] = useState(false)
  const named = lights.some((light) => light.id === circumstances.lightId)
  return (
    <section className="block tray-circumstances" aria-label="How it was taken">
      <h2>How it was taken</h2>
      <label className="field wide">
        <span>Light</span>
        <select
          className="select"
          value={named ? (circumstances.lightId ?? '') : ''}
          onChange={(event) => {
            if (event.target.value === '+') setAdding(true)
            else changeLight(event.target.value || null, setups)
          }}
        >
          <option value="">not known</option>
          {lights.map((light) => (
            <option key={light.id} value={light.id}>
              {light.kelvin === null ? light.name : `${light.name}, ${light.kelvin} K`}
            </option>
          ))}
          <option value="+">Add a light…</option>
        </select>
      </label>
      {adding ? <AddLight onDone={() => setAdding(false)} /> : null}
      <SetupField />
      <label className="field">
        <span>View</span>
        <select
          className="select"
          value={circumstances.view}
          onChange={(event) => change({ view: View.parse(event.target.value) })}
        >
          {View.options.map((view) => (
            <option key={view} value={view}>
              {viewInWords[view]}
            </option>
          ))}
        </select>
      </label>
      <label className="field">
        <span>Taken of paint that is</span>
        <select
          className="select"
          value={circumstances.stage}
          onChange={(event) => change({ stage: Stage.parse(event.target.value) })}
        >
          {Stage.options.map((stage) => (
            <option key={stage} value={stage}>
              {stageInWords[stage]}
            </option>
          ))}
        </select>
      </label>
      {aim === 'panel' ? (
        <div className="wide">
          <NumberField
            label="Its age in days, if known"
            value={ageDays}
            min={0}
            digits={1}
            onValue={(value) => useDesk.setState({ ageDays: value })}
          />
        </div>
      ) : null}
      <BlankSheetField />
    </section>
  )
}

function AddLight({ onDone }: { onDone: () => void }) {
  const [name, setName] = useState('')
  const [kelvin, setKelvin] = useState<number | null>(null)
  const add = async () => {
    if (name.trim() === '') return
    const done = await act('lights.add', { name: name.trim(), kelvin })
    if (!done) return
    const { lights, setLights } = useStore.getState()
    if (!lights.some((light) => light.id === done.light.id)) setLights([...lights, done.light])
    change({ lightId: done.light.id })
    onDone()
  }
  return (
    <form
      className="tray-light"
      aria-label="Add a light"
      onSubmit={(event) => {
        event.preventDefault()
        void add()
      }}
    >
      <label className="field">
        <span>Name of the light</span>
        <input className="input" value={name} maxLength={80} onChange={(event) => setName(event.target.value)} />
      </label>
      <NumberField label="Kelvin, if known" value={kelvin} min={1000} max={40000} digits={0} onValue={setKelvin} />
      <button type="submit" className="btn main" aria-disabled={name.trim() === ''}>
        {name.trim() === '' ? 'Name it first' : 'Add light'}
      </button>
      <button type="button" className="btn" onClick={onDone}>
        Leave it
      </button>
    </form>
  )
}
