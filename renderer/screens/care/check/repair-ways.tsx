import { useId, useState } from 'react'
import type { RepairPlan, RepairWay } from '../../../../shared-core/records/check.ts'
import type { Settings } from '../../../../shared-core/records/settings.ts'
import { sayMoment } from '../../../parts/say-moments.ts'
import { useStore } from '../../../state/store.ts'

const names: Readonly<Record<RepairWay['from'], string>> = {
  itself: 'The records as they are',
  backup: 'The newest backup',
  salvage: 'What can still be read',
  photos: 'A new rack with the photos',
}
const verbs: Readonly<Record<RepairWay['from'], string>> = {
  itself: 'Open the records as they are',
  backup: 'Put the backup back',
  salvage: 'Take what can still be read',
  photos: 'Begin anew with the photos',
}

function endInWords({ madeAt, latestAt }: RepairWay, settings: Settings): string {
  if (madeAt !== null) return `made on ${sayMoment(madeAt, settings)}`
  return latestAt === null ? 'empty' : `up to ${sayMoment(latestAt, settings)}`
}

type Props = { plan: RepairPlan; onTake: (from: RepairWay['from']) => void; onClose: () => void }

/** Two ways to the records, side by side: what each has, up to when. */
export function RepairWays({ plan, onTake, onClose }: Props) {
  const id = useId()
  const settings = useStore((s) => s.settings)
  const [from, setFrom] = useState(plan.best ?? plan.ways[0]?.from ?? 'backup')
  return (
    <>
      <p>
        <b>{plan.damage}</b> The backup is whole; the damaged file has newer things, and may be wrong or incomplete.
        Choose which is to be taken.
      </p>
      <fieldset className="check-ways">
        <legend className="vh">Which records are to be taken</legend>
        {plan.ways.map((way) => (
          <label key={way.from} className={`check-way ${way.from === from ? 'is-chosen' : ''}`}>
            <span className="check-way-head">
              <input
                type="radio"
                name={id}
                value={way.from}
                checked={way.from === from}
                onChange={() => setFrom(way.from)}
              />
              <b>{names[way.from]}</b>
              {way.from === plan.best ? <span className="fine">safest</span> : null}
            </span>
            <span className="check-way-facts num">
              <span>
                <b>{way.panels}</b> panels
              </span>
              <span>
                <b>{way.readings}</b> readings
              </span>
              <span>
                <b>{way.photos}</b> photos
              </span>
            </span>
            <span>{endInWords(way, settings)}</span>
            <span className="fine">{way.says}</span>
          </label>
        ))}
      </fieldset>
      <p className="fine">Whichever you take, the other is kept among the backups, and so is the damaged file.</p>
      <div className="check-acts">
        <button type="button" className="btn main" onClick={() => onTake(from)}>
          {verbs[from]}
        </button>
        <button type="button" className="btn plain" onClick={onClose}>
          Decide later
        </button>
      </div>
    </>
  )
}
