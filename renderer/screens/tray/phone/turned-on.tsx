import type { PhoneState } from '../../../../shared-core/contract/phone-calls.ts'
import { Caution } from '../../../parts/caution.tsx'
import { actOnPhone } from '../../../state/phone.ts'
import { useNow } from '../../../state/use-now.ts'
import { sayClock } from '../../mix/say-amounts.ts'
import { Purged } from '../pile/choose-photos.tsx'
import { PhoneCode } from './code.tsx'
import { NetworkLine } from './network-line.tsx'
import { SentPictures } from './sent-pictures.tsx'

/** The code, who is connected, what came in, and how long it stays on. */
export function TurnedOn({ door, onClose }: { door: PhoneState; onClose: () => void }) {
  const now = useNow()
  const left = door.closesAt === null ? 0 : Math.max(0, Math.floor((Date.parse(door.closesAt) - now) / 1000))
  return (
    <div className="phone-on">
      <PhoneCode door={door} now={now} />
      <div className="phone-side">
        {door.said ? <Caution message={door.said} /> : null}
        <Purged />
        <Phones door={door} />
        {door.pictures.length === 0 ? (
          <p>Lamp at 45°, the phone’s flash off. Panel and grey card, or the photo sheet, whole in the picture.</p>
        ) : (
          <SentPictures pictures={door.pictures} />
        )}
        {door.address ? <NetworkLine at={door.address} /> : null}
      </div>
      <div className="phone-acts phone-foot">
        <p>
          Closes by itself in{' '}
          <time className="num" role="timer">
            {sayClock(left)}
          </time>
        </p>
        <button type="button" className="btn" onClick={() => void actOnPhone('phone.keepOn', {})}>
          Keep it on
        </button>
        <button type="button" className="btn" onClick={() => void actOnPhone('phone.turnOff', {})}>
          Turn it off
        </button>
        <button type="button" className="btn main push" onClick={onClose}>
          To the tray
        </button>
      </div>
    </div>
  )
}

function Phones({ door }: { door: PhoneState }) {
  if (door.phones.length === 0) return null
  return (
    <ul className="phone-list" aria-label="Phones connected">
      {door.phones.map(({ id, name, arrived, coming }) => (
        <li key={id}>
          <span>
            <b>{name}</b>{' '}
            <span className="fine">
              {coming > 0 ? `${arrived} arrived, ${coming} on the way` : `${arrived} arrived`}
            </span>
          </span>
          <button
            type="button"
            className="btn plain"
            aria-label={`Disconnect ${name}`}
            onClick={() => void actOnPhone('phone.disconnect', { phoneId: id })}
          >
            Disconnect
          </button>
        </li>
      ))}
    </ul>
  )
}
