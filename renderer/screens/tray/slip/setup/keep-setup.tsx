import { type FormEvent, useId, useState } from 'react'
import type { Output } from '../../../../../shared-core/contract/calls.ts'
import type { Setup } from '../../../../../shared-core/records/setup.ts'
import { client } from '../../../../client/client.ts'
import { Dialog } from '../../../../parts/dialog.tsx'
import { FieldError, type Said } from '../../../../parts/field-error.tsx'
import { howGood, residualInWords } from '../../../../parts/setup-words.ts'
import { useAnswer } from '../../../../state/asking.ts'
import { useStore } from '../../../../state/store.ts'
import { layoutNow } from '../../desk-actions.ts'
import { closePast, useDesk } from '../../desk-state.ts'
import { CautionsSaid } from '../reading/cautions-said.tsx'

const close = () => useDesk.setState({ keepingSetup: false })

/** The sheet that learns a set-up from the chart in this photo, then says how good it is and what it is for. */
export function KeepSetup() {
  const isOpen = useDesk((s) => s.keepingSetup)
  const [learnt, setLearnt] = useState<Output<'setups.calibrate'> | null>(null)
  if (!isOpen) {
    if (learnt) setLearnt(null)
    return null
  }
  return (
    <Dialog title={learnt ? `“${learnt.setup.name}” is calibrated` : 'Keep as a set-up'} onClose={close}>
      <div className="tray-keep">{learnt ? <Learnt {...learnt} /> : <KeepForm onLearnt={setLearnt} />}</div>
    </Dialog>
  )
}

function KeepForm({ onLearnt }: { onLearnt: (learnt: Output<'setups.calibrate'>) => void }) {
  const id = useId()
  const photo = useDesk((s) => s.photo)
  const lights = useStore((s) => s.lights)
  const setups = useAnswer('setups.list', {}).value?.setups ?? []
  const [again, setAgain] = useState<Setup | null>(null)
  const photoLightId = useDesk((s) => s.circumstances.lightId)
  const [lightId, setLightId] = useState(photoLightId)
  const nameOf = (light: string | null) => lights.find((one) => one.id === light)?.name
  const usual = [photo?.exposure.camera, nameOf(lightId)].filter(Boolean).join(', ')
  // the name follows the light until somebody writes one
  const [written, setWritten] = useState<string | null>(null)
  const name = (written ?? again?.name ?? usual).slice(0, 120)
  const [busy, setBusy] = useState(false)
  const [wrong, setWrong] = useState<Said | null>(null)
  if (!photo) return null
  const missing = name.trim() === '' ? 'Give the set-up a name' : null

  const submit = async (event: FormEvent) => {
    event.preventDefault()
    if (busy || missing !== null) return
    setBusy(true)
    setWrong(null)
    const answer = await client().call('setups.calibrate', {
      photoId: photo.id,
      layout: layoutNow(useDesk.getState().marks),
      setupId: again?.id ?? null,
      name: name.trim(),
      lightId,
    })
    setBusy(false)
    if (!answer.ok) {
      setWrong(answer.error)
      return
    }
    const { setup } = answer.value
    if (useDesk.getState().photo?.id === photo.id) {
      closePast()
      useDesk.setState(({ circumstances }) => ({
        setupProposed: false,
        freshSetupId: setup.id,
        circumstances: { ...circumstances, setupId: setup.id, lightId: circumstances.lightId ?? setup.lightId },
      }))
    }
    onLearnt(answer.value)
  }

  return (
    <form onSubmit={(event) => void submit(event)}>
      <p>
        The chart in this photo shows how this camera sees colours in this light. Once that is kept, later photos taken
        with it in the same light need only the grey card.
      </p>
      {setups.length > 0 ? (
        <label className="field">
          <span>What it calibrates</span>
          <select
            className="select"
            value={again?.id ?? ''}
            onChange={(event) => {
              const setup = setups.find((one) => one.id === event.target.value) ?? null
              setAgain(setup)
              setWritten(null)
              if (setup?.lightId) setLightId(setup.lightId)
            }}
          >
            <option value="">A new set-up</option>
            {setups.map((setup) => (
              <option key={setup.id} value={setup.id}>
                “{setup.name}” again
              </option>
            ))}
          </select>
        </label>
      ) : null}
      <label className="field">
        <span>Name</span>
        <input
          className="input"
          value={name}
          maxLength={120}
          autoComplete="off"
          placeholder="Phone, booth tubes"
          onChange={(event) => setWritten(event.target.value)}
        />
      </label>
      <label className="field">
        <span>Light</span>
        <select className="select" value={lightId ?? ''} onChange={(event) => setLightId(event.target.value || null)}>
          <option value="">not known</option>
          {lights.map((light) => (
            <option key={light.id} value={light.id}>
              {light.kelvin === null ? light.name : `${light.name}, ${light.kelvin} K`}
            </option>
          ))}
        </select>
      </label>
      <FieldError id={`${id}-wrong`} said={wrong} />
      <div className="tray-keep-acts">
        <button type="submit" className="btn main" aria-disabled={busy || missing !== null}>
          {busy ? 'Calibrating…' : (missing ?? (again ? `Calibrate “${again.name}” again` : 'Calibrate'))}
        </button>
        <button type="button" className="btn" onClick={close}>
          Leave it
        </button>
      </div>
    </form>
  )
}

function Learnt({ setup, cautions }: Output<'setups.calibrate'>) {
  const settings = useStore((s) => s.settings)
  const hasAreas = useDesk((s) => s.marks.list.length > 0)
  const { residual } = setup.fit
  const isWeak = howGood(residual) === 'weak'
  // a warning says what to do already
  const isWarned = cautions.some(({ weight }) => weight !== 'note')
  return (
    <>
      <p role="status">{residualInWords(residual, settings)}</p>
      {isWeak && !isWarned ? (
        <p>
          <b>Photograph the chart again if you can:</b> flat, in even light, without glare on it, about a third of the
          picture wide. Then keep it as “{setup.name}” again.
        </p>
      ) : null}
      {isWeak ? null : (
        <p>
          Later photos of {setup.camera ?? 'this camera'} in this light need only the grey card: choose this set-up for
          them, where it is not proposed already.
        </p>
      )}
      <CautionsSaid said={cautions} />
      <p className="fine">
        It is listed in Settings. Undo takes it back.
        {hasAreas ? '' : ' This photo needs no filing: it stays in the rack as the set-up’s chart.'}
      </p>
      <div className="tray-keep-acts">
        <button type="button" className="btn main" onClick={close}>
          Go on
        </button>
      </div>
    </>
  )
}
