import { sayClock } from '../screens/mix/say-amounts.ts'
import { showPhone, usePhone } from '../state/phone.ts'
import { useNow } from '../state/use-now.ts'

/** Stands wherever the user is while phones can send pictures; leads to the sheet where it is turned off. */
export function PhoneSign() {
  const door = usePhone((s) => s.door)
  return door?.isOn ? <Sign closesAt={door.closesAt} phones={door.phones.length} /> : null
}

function Sign({ closesAt, phones }: { closesAt: string | null; phones: number }) {
  const now = useNow()
  const left = closesAt === null ? 0 : Math.max(0, Math.floor((Date.parse(closesAt) - now) / 1000))
  return (
    <button
      type="button"
      className="bar-clock bar-phone"
      title="Pictures can come from a phone: see which one, or turn it off"
      onClick={showPhone}
    >
      <span className="fine">{phones === 0 ? 'phone: waiting' : phones === 1 ? '1 phone' : `${phones} phones`}</span>
      <time className="num" role="timer">
        {sayClock(left)}
      </time>
    </button>
  )
}
