import { useEffect, useEffectEvent, useState } from 'react'
import type { PhoneAddress } from '../../../../shared-core/contract/phone-calls.ts'
import { client } from '../../../client/client.ts'
import { Caution } from '../../../parts/caution.tsx'
import { actOnPhone, usePhone } from '../../../state/phone.ts'
import { Purged } from '../pile/choose-photos.tsx'
import { NetworkLine } from './network-line.tsx'

/** What it is, which network it is for, and the button that turns it on. */
export function TurnedOff({ said, onClose }: { said: string | null; onClose: () => void }) {
  // asked each time anew: networks come and go without the rack being changed
  const [addresses, setAddresses] = useState<readonly PhoneAddress[] | null>(null)
  const ask = async () => {
    const answer = await client().call('phone.addresses', {})
    setAddresses(answer.ok ? answer.value.addresses : [])
  }
  const askFirst = useEffectEvent(() => void ask())
  useEffect(() => askFirst(), [])
  const [chosen, setChosen] = useState<string | null>(null)
  const [isTurning, setTurning] = useState(false)
  const turnOn = async (address: string) => {
    setTurning(true)
    await actOnPhone('phone.turnOn', { address })
    setTurning(false)
    if (!usePhone.getState().door?.isOn) await ask()
  }
  const at = addresses?.find(({ address }) => address === chosen) ?? addresses?.[0]
  return (
    <div className="phone-off">
      {said ? <Caution message={said} /> : null}
      <p>
        Photograph with a phone and see the pictures here, in the tray. Nothing is installed: the phone’s camera reads a
        code from this screen, and its browser opens a page that sends pictures to this computer and can do nothing
        else.
      </p>
      {addresses && !at ? (
        <Caution
          message="This computer is in no network."
          remedy="Connect it to the network that the phone is in, then open this again."
        />
      ) : null}
      {addresses && addresses.length > 1 && at ? (
        <ChooseAddress addresses={addresses} at={at} onChoose={setChosen} />
      ) : null}
      <Purged />
      {at ? <NetworkLine at={at} /> : null}
      <div className="phone-acts">
        <button
          type="button"
          className="btn main"
          aria-disabled={!at || isTurning}
          onClick={() => (at && !isTurning ? void turnOn(at.address) : undefined)}
        >
          {isTurning ? 'Turning it on …' : 'Turn it on'}
        </button>
        <button type="button" className="btn" onClick={onClose}>
          Not now
        </button>
      </div>
    </div>
  )
}

type ChooseProps = { addresses: readonly PhoneAddress[]; at: PhoneAddress; onChoose: (address: string) => void }

function ChooseAddress({ addresses, at, onChoose }: ChooseProps) {
  return (
    <fieldset className="phone-addresses">
      <legend>Which of this computer’s networks is the phone in?</legend>
      {addresses.map(({ address, connection, isPrivate }) => (
        <label key={`${connection} ${address}`} className="check">
          <input
            type="radio"
            name="phone-address"
            checked={address === at.address}
            onChange={() => onChoose(address)}
          />
          <span>
            <b>{connection}</b> <span className="num">{address}</span>
            {isPrivate ? null : <span className="fine">may be reached from outside</span>}
          </span>
        </label>
      ))}
    </fieldset>
  )
}
