import type { Cup } from '../../../../shared-core/records/cup.ts'
import type { AsSprayed } from '../../../../shared-core/records/customer-job.ts'
import { Minus, Plus } from '../../../parts/icons.tsx'
import { NumberField } from '../../../parts/number-field.tsx'
import { QuantityField } from '../../../parts/quantity-field.tsx'
import { GunChoice } from '../choose/gun-choice.tsx'
import { TextField } from '../text-field.tsx'
import { batchesOf, type Counted, counted, countedInWords, mostCounted } from './as-sprayed.ts'

type Props = {
  sprayed: AsSprayed
  cups: readonly Cup[]
  onSprayed: (sprayed: AsSprayed) => void
  onTakeBack: () => void
}

/** What was sprayed on one part, typed from paper. */
export function SprayedForm({ sprayed, cups, onSprayed, onTakeBack }: Props) {
  const set = (change: Partial<AsSprayed>) => onSprayed({ ...sprayed, ...change })
  const offered = cups.filter(({ id, status }) => status === 'mixed' || sprayed.cupIds.includes(id))
  const tickCup = (id: string, ticked: boolean) => {
    const cupIds = ticked ? [...sprayed.cupIds, id] : sprayed.cupIds.filter((each) => each !== id)
    const of = (ids: readonly string[]) => batchesOf(cups.filter((cup) => ids.includes(cup.id)))
    // batches that were typed by hand stay as they are
    const own = sprayed.batches !== '' && sprayed.batches !== of(sprayed.cupIds)
    set({ cupIds, ...(own ? {} : { batches: of(cupIds) }) })
  }
  return (
    <div className="job-sprayed-form">
      <div className="job-counts">
        {(['midCoats', 'coats', 'clearCoats'] as const).map((what) => (
          <CountField key={what} what={what} sprayed={sprayed} onSprayed={onSprayed} />
        ))}
      </div>
      <div className="job-fields">
        <TextField label="Ground" value={sprayed.ground} maxLength={120} onValue={(ground) => set({ ground })} />
        <TextField
          label="Sprayed on"
          type="date"
          value={sprayed.sprayedOn ?? ''}
          onValue={(day) => set({ sprayedOn: day || null })}
        />
        <TextField label="By" value={sprayed.sprayedBy} maxLength={120} onValue={(sprayedBy) => set({ sprayedBy })} />
        <GunChoice gun={sprayed.gunSetup} inFull onGun={(gunSetup) => set({ gunSetup })} />
        <TextField
          label="Reducer grade"
          value={sprayed.reducerGrade}
          maxLength={120}
          hint="slow …"
          onValue={(reducerGrade) => set({ reducerGrade })}
        />
        <NumberField
          label="Reducer in %"
          value={sprayed.reducerPercent}
          min={0}
          max={100}
          onValue={(reducerPercent) => set({ reducerPercent })}
        />
        <QuantityField
          label="Booth temperature"
          measure="temperature"
          value={sprayed.temperatureC}
          onValue={(temperatureC) => set({ temperatureC })}
        />
        <NumberField
          label="Humidity in %"
          value={sprayed.humidityPercent}
          min={0}
          max={100}
          onValue={(humidityPercent) => set({ humidityPercent })}
        />
        <NumberField
          label="Minutes between coats"
          value={sprayed.flashOffMin}
          min={0}
          max={10_000}
          onValue={(flashOffMin) => set({ flashOffMin })}
        />
      </div>
      {offered.length > 0 ? (
        <fieldset className="job-cup-ticks">
          <legend className="fine">Out of which cups</legend>
          {offered.map(({ id, code, title }) => (
            <label key={id} className="check">
              <input
                type="checkbox"
                checked={sprayed.cupIds.includes(id)}
                onChange={(event) => tickCup(id, event.target.checked)}
              />
              <span>
                <b className="num">{code}</b> {title}
              </span>
            </label>
          ))}
        </fieldset>
      ) : null}
      <TextField label="Batches" value={sprayed.batches} maxLength={2000} onValue={(batches) => set({ batches })} />
      <TextField label="Notes" lines={2} value={sprayed.notes} maxLength={4000} onValue={(notes) => set({ notes })} />
      <p className="jobs-acts">
        <button type="button" className="btn plain" onClick={onTakeBack}>
          Take this record back
        </button>
      </p>
    </div>
  )
}

type CountProps = { what: Counted; sprayed: AsSprayed; onSprayed: (sprayed: AsSprayed) => void }

function CountField({ what, sprayed, onSprayed }: CountProps) {
  const name = countedInWords[what]
  return (
    <div className="job-count-field">
      <button
        type="button"
        className="btn"
        aria-label={`${name}: one coat less`}
        onClick={() => onSprayed(counted(sprayed, what, -1))}
      >
        <Minus />
      </button>
      <NumberField
        label={`${name}, coats`}
        value={sprayed[what]}
        min={0}
        max={mostCounted[what]}
        digits={1}
        onValue={(value) => value !== null && onSprayed({ ...sprayed, [what]: value })}
      />
      <button
        type="button"
        className="btn"
        aria-label={`${name}: one coat more`}
        onClick={() => onSprayed(counted(sprayed, what, 1))}
      >
        <Plus />
      </button>
    </div>
  )
}
