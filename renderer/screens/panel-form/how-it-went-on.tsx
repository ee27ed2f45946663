import type { BoothConditions, GunSetup, Layer } from '../../../shared-core/records/panel.ts'
import { GunFigures } from '../../parts/gun-figures.tsx'
import { NumberField } from '../../parts/number-field.tsx'
import { QuantityField } from '../../parts/quantity-field.tsx'
import { useAnswer } from '../../state/asking.ts'

type Props = { layer: Layer; onChange: (change: Partial<Layer>) => void }

const noBooth: BoothConditions = { temperatureC: null, humidityPercent: null, flashOffMin: null, reducerGrade: '' }
const noGun: GunSetup = {
  id: null,
  name: '',
  gun: '',
  tipMm: null,
  inletKpa: null,
  capKpa: null,
  distanceMm: null,
  overlapPercent: null,
}

/** Gun set-up, booth and notes of a layer; closed until wanted, because most panels repeat the last one. */
export function HowItWentOn({ layer, onChange }: Props) {
  const { value } = useAnswer('gunSetups.list', {})
  const known = value?.gunSetups ?? []
  const gun = layer.gunSetup
  const booth = layer.booth ?? noBooth
  const setGun = (change: Partial<GunSetup>) => onChange({ gunSetup: { ...(gun ?? noGun), ...change } })
  const setBooth = (change: Partial<BoothConditions>) => {
    const next = { ...booth, ...change }
    const empty =
      next.temperatureC === null &&
      next.humidityPercent === null &&
      next.flashOffMin === null &&
      next.reducerGrade === ''
    onChange({ booth: empty ? null : next })
  }
  return (
    <details className="went-on" open={gun !== null || layer.booth !== null || layer.notes !== ''}>
      <summary>How it went on</summary>
      <div className="went-grid">
        <label className="field wide">
          <span>Gun set-up</span>
          <select
            className="select"
            value={gun === null ? 'none' : (known.find((setup) => setup.id === gun.id)?.id ?? 'new')}
            onChange={(event) => {
              const chosen = known.find((setup) => setup.id === event.target.value)
              onChange({ gunSetup: event.target.value === 'none' ? null : (chosen ?? { ...(gun ?? noGun), id: null }) })
            }}
          >
            <option value="none">Not written down</option>
            {known.map((setup) => (
              <option key={setup.id} value={setup.id ?? ''}>
                {setup.name}
              </option>
            ))}
            <option value="new">Another set-up</option>
          </select>
        </label>
        {gun ? (
          <>
            <label className="field">
              <span>Call it</span>
              <input
                className="input"
                value={gun.name}
                aria-invalid={gun.name.trim() === ''}
                onChange={(e) => setGun({ name: e.target.value })}
              />
            </label>
            <label className="field">
              <span>Gun</span>
              <input className="input" value={gun.gun} onChange={(e) => setGun({ gun: e.target.value })} />
            </label>
            <GunFigures gun={gun} onChange={setGun} />
          </>
        ) : null}
        <QuantityField
          label="Booth temperature"
          measure="temperature"
          value={booth.temperatureC}
          onValue={(temperatureC) => setBooth({ temperatureC })}
        />
        <NumberField
          label="Humidity in %"
          min={0}
          max={100}
          value={booth.humidityPercent}
          onValue={(humidityPercent) => setBooth({ humidityPercent })}
        />
        <NumberField
          label="Minutes between coats"
          min={0}
          max={10_000}
          value={booth.flashOffMin}
          onValue={(flashOffMin) => setBooth({ flashOffMin })}
        />
        <label className="field">
          <span>Reducer grade</span>
          <input
            className="input"
            value={booth.reducerGrade}
            placeholder="slow …"
            onChange={(e) => setBooth({ reducerGrade: e.target.value })}
          />
        </label>
        <label className="field wide">
          <span>Notes on this layer</span>
          <input className="input" value={layer.notes} onChange={(e) => onChange({ notes: e.target.value })} />
        </label>
      </div>
    </details>
  )
}
