import './phone.css'
import { useEffect } from 'react'
import { Dialog } from '../../../parts/dialog.tsx'
import { refreshPhone, usePhone } from '../../../state/phone.ts'
import { useStore } from '../../../state/store.ts'
import { TurnedOff } from './turned-off.tsx'
import { TurnedOn } from './turned-on.tsx'

/** Pictures from a phone: turned on for a while, with a code that its camera reads from the screen. */
export function PhoneDialog() {
  const isShown = usePhone((s) => s.isShown)
  const hasRack = useStore((s) => Boolean(s.rack))
  return isShown && hasRack ? <OpenPhoneDialog /> : null
}

const close = () => usePhone.setState({ isShown: false })

function OpenPhoneDialog() {
  const door = usePhone((s) => s.door)
  useEffect(() => void refreshPhone(), [])
  return (
    <Dialog title="From a phone" onClose={close}>
      {door === null ? null : door.isOn ? (
        <TurnedOn door={door} onClose={close} />
      ) : (
        <TurnedOff said={door.said} onClose={close} />
      )}
    </Dialog>
  )
}
