import { useEffect } from 'react'
import { useShallow } from 'zustand/react/shallow'
import type { Setup } from '../../../../../shared-core/records/setup.ts'
import { Caution } from '../../../../parts/caution.tsx'
import { howGood } from '../../../../parts/setup-words.ts'
import { useAnswer } from '../../../../state/asking.ts'
import { useStore } from '../../../../state/store.ts'
import { useDesk } from '../../desk-state.ts'
import { misfit } from './suiting-setup.ts'

/** Takes a set-up by hand; one that knows its light says it where nobody has. */
function chooseSetup(setup: Setup | null): void {
  useDesk.setState(({ circumstances }) => ({
    setupProposed: false,
    circumstances: {
      ...circumstances,
      setupId: setup?.id ?? null,
      lightId: circumstances.lightId ?? setup?.lightId ?? null,
    },
  }))
}

/** Which calibrated camera and light the photo was taken with. */
export function SetupField() {
  const [setupId, hasChart, fresh] = useDesk(
    useShallow((s) => [s.circumstances.setupId, s.marks.chart !== null, s.freshSetupId]),
  )
  const setups = useAnswer('setups.list', {}).value?.setups
  const chosen = setups?.find(({ id }) => id === setupId) ?? null
  const gone = setups !== undefined && setupId !== null && setupId !== fresh && chosen === null
  useEffect(() => {
    // removed in Settings while the photo lay here
    if (gone) chooseSetup(null)
  }, [gone])
  if (setups?.length === 0)
    return (
      <p className="fine wide">
        {hasChart
          ? 'No set-up is calibrated yet. The chart is in this photo: “Keep as set-up…” stands with its mark.'
          : 'No set-up is calibrated yet. One photo with the 24-patch chart does it, once for each phone and light.'}
      </p>
    )
  return (
    <div className="wide tray-setup">
      <label className="field">
        <span>Set-up</span>
        <select
          className="select"
          value={chosen?.id ?? ''}
          onChange={(event) => chooseSetup(setups?.find(({ id }) => id === event.target.value) ?? null)}
        >
          <option value="">none</option>
          {setups?.map((setup) => (
            <option key={setup.id} value={setup.id}>
              {setup.name}
            </option>
          ))}
        </select>
      </label>
      {chosen ? <WhyThis setup={chosen} /> : null}
    </div>
  )
}

function WhyThis({ setup }: { setup: Setup }) {
  const [photo, proposed, lightId] = useDesk(useShallow((s) => [s.photo, s.setupProposed, s.circumstances.lightId]))
  const lights = useStore((s) => s.lights)
  if (!photo) return null
  const wrong = misfit(setup, photo, lightId, (id) => lights.find((light) => light.id === id)?.name ?? 'not listed')
  if (wrong) return <Caution message={wrong.message} remedy={wrong.remedy} />
  const sameLight = lightId !== null && lightId === setup.lightId
  const why = sameLight
    ? 'calibrated last for this camera in this light'
    : 'calibrated last for this camera. Choose none if the light was another'
  return (
    <p className="fine">
      {proposed ? `Proposed: ${why}.` : ''} Its calibration is {howGood(setup.fit.residual)}
      {howGood(setup.fit.residual) === 'weak' ? ': photograph its chart again, and keep it again' : ''}.
    </p>
  )
}
