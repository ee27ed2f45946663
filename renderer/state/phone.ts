import { create } from 'zustand'
import type { CallName, Input } from '../../shared-core/contract/calls.ts'
import type { PhoneState } from '../../shared-core/contract/phone-calls.ts'
import { client } from '../client/client.ts'
import { act } from './asking.ts'
import { useStore } from './store.ts'

type PhonePlace = {
  /** Null while nobody knows yet. */
  door: PhoneState | null
  /** The sheet with the code stands open. */
  isShown: boolean
}

/** The door for phones, as it was last told. */
export const usePhone = create<PhonePlace>(() => ({ door: null, isShown: false }))

/** Counts what was asked, so that an answer which was overtaken is left. */
let turn = 0

/** Asks how it stands. What closed it by itself is said once, where its sheet is not open. */
export async function refreshPhone(): Promise<void> {
  const mine = ++turn
  const answer = await client().call('phone.state', {})
  if (mine !== turn || !answer.ok) return
  const { door, isShown } = usePhone.getState()
  const { isOn, said } = answer.value
  if (!isShown && door?.isOn && !isOn && said !== null)
    useStore.getState().say(said, 'Turn “From a phone” on again in the tray when you need it.')
  usePhone.setState({ door: answer.value })
}

type PhoneAct = Extract<
  CallName,
  'phone.turnOn' | 'phone.turnOff' | 'phone.keepOn' | 'phone.newCode' | 'phone.disconnect'
>

export async function actOnPhone<N extends PhoneAct>(name: N, input: Input<N>): Promise<void> {
  const door = (await act(name, input)) as PhoneState | null
  turn++
  if (door) usePhone.setState({ door })
  else await refreshPhone()
}

export const showPhone = () => usePhone.setState({ isShown: true })
