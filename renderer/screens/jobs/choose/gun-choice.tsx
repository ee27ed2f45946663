import type { GunSetup } from '../../../../shared-core/records/panel.ts'
import { GunFigures } from '../../../parts/gun-figures.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { TextField } from '../text-field.tsx'

const anotherGun: GunSetup = {
  id: null,
  name: 'This job’s set-up',
  gun: '',
  tipMm: null,
  inletKpa: null,
  capKpa: null,
  distanceMm: null,
  overlapPercent: null,
}

type Props = {
  gun: GunSetup | null
  onGun: (gun: GunSetup | null) => void
  /** What the gun was really set to is written down, also where the set-up is a known one. */
  inFull?: boolean
}

/** A gun set-up that the rack knows, or another one. */
export function GunChoice({ gun, onGun, inFull = false }: Props) {
  const known = useAnswer('gunSetups.list', {}).value?.gunSetups ?? []
  const chosen = gun === null ? 'none' : (known.find(({ id }) => id === gun.id)?.id ?? 'another')
  const set = (change: Partial<GunSetup>) => gun && onGun({ ...gun, ...change })
  return (
    <>
      <label className="field">
        <span>Gun set-up</span>
        <select
          className="select"
          value={chosen}
          onChange={({ target: { value } }) =>
            onGun(
              value === 'none' ? null : (known.find(({ id }) => id === value) ?? { ...(gun ?? anotherGun), id: null }),
            )
          }
        >
          <option value="none">not written down</option>
          {known.map(({ id, name }) => (
            <option key={id} value={id ?? ''}>
              {name}
            </option>
          ))}
          <option value="another">another set-up</option>
        </select>
      </label>
      {gun && chosen === 'another' ? (
        <>
          <TextField label="Call it" needed maxLength={120} value={gun.name} onValue={(name) => set({ name })} />
          <TextField label="Gun" maxLength={120} value={gun.gun} onValue={(name) => set({ gun: name })} />
        </>
      ) : null}
      {gun && (chosen === 'another' || inFull) ? <GunFigures gun={gun} onChange={set} /> : null}
    </>
  )
}
