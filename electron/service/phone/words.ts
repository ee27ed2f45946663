import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { Ended } from '../../phone/messages.ts'

export const addressGone = () =>
  new Refusal(
    'phone/address-gone',
    'This computer is no longer at that address.',
    'Choose the network again that the phone is in, too.',
  )
export const cannotListen = (code: string) =>
  new Refusal(
    'phone/cannot-listen',
    `No door for phones could be opened at that address (${code}).`,
    'Choose another address, or let Overground through this computer’s firewall.',
  )
export const isOff = () => new Refusal('phone/off', 'Phone to tray is turned off.', 'Turn it on, then scan the code.')

export const closedBecause: Readonly<Record<Ended, string | null>> = {
  asked: null,
  quiet: 'Closed by itself: no phone was there for ten minutes.',
  long: 'Closed by itself: it had been open for two hours.',
  slept: 'Closed because the computer slept.',
  'address-gone': 'Closed because this computer left that network.',
}
export const closedByFault = 'Closed by a fault. Pictures that had arrived are kept; turn it on again for the others.'
export const tooManyWrong =
  'Twenty wrong codes came in from the network: no phone is connected until you want a new code.'
