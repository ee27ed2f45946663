import type { PhoneAddress } from '../../../../shared-core/contract/phone-calls.ts'
import { Caution } from '../../../parts/caution.tsx'

/** What a network has to do with it: calmly always, louder where others can surely reach the address. */
export function NetworkLine({ at }: { at: PhoneAddress }) {
  return at.isPrivate ? (
    <p className="fine phone-network">
      Only on a network that you trust: whoever listens on an open one could see the pictures on their way. It is off
      unless you turn it on, and closes by itself.
    </p>
  ) : (
    <Caution
      message="This address is not one of a private network: others may reach it, and see the pictures on their way."
      remedy="Better use the workshop’s own Wi-Fi."
    />
  )
}
