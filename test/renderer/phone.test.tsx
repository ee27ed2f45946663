import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { fromPhone } from '../../renderer/commands/tray/from-phone.ts'
import { PhoneSign } from '../../renderer/frame/phone-sign.tsx'
import { PhoneDialog } from '../../renderer/screens/tray/phone/phone-dialog.tsx'
import { refreshPhone, usePhone } from '../../renderer/state/phone.ts'
import { useStore } from '../../renderer/state/store.ts'
import type { PhoneState } from '../../shared-core/contract/phone-calls.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { type FakeClient, phoneOff } from './fake-client.ts'
import { buttonSaying, click, prepare, settle, show, takeDown } from './mounting.ts'

/** Phone to tray at the desk: off, waiting for a phone, connected, closed by itself. */
const home = { address: '192.168.1.7', connection: 'wlan0', isPrivate: true }
const outside = { address: '203.0.113.5', connection: 'eth0', isPrivate: false }
const inMinutes = (minutes: number) => new Date(Date.now() + minutes * 60_000).toISOString()
const waiting = (): PhoneState => ({
  ...phoneOff,
  isOn: true,
  address: home,
  link: 'http://192.168.1.7:4100/#code-one',
  symbol: ['101', '010', '111'],
  linkUntil: inMinutes(3),
  closesAt: inMinutes(10),
})
const connected = (): PhoneState => ({
  ...waiting(),
  link: null,
  symbol: [],
  linkUntil: null,
  phones: [{ id: 'one', name: 'Phone 1', since: inMinutes(0), arrived: 2, coming: 1 }],
  pictures: [
    { id: 'b', name: 'b.jpg', phone: 'Phone 1', photoId: 'p2', sha256: 'b'.repeat(64), words: 'Good', isGood: true },
    { id: 'a', name: 'a.jpg', phone: 'Phone 1', photoId: 'p1', sha256: null, words: 'Too dark', isGood: false },
  ],
})

let client: FakeClient
let state: PhoneState
const become = async (now: PhoneState) => {
  state = now
  await act(async () => refreshPhone())
}
beforeEach(() => {
  state = phoneOff
  usePhone.setState({ door: null, isShown: false })
  const put = (now: PhoneState) => () => (state = now)
  client = prepare({
    'phone.addresses': () => ({ addresses: [home, outside] }),
    'phone.state': () => state,
    'phone.turnOn': () => put(waiting())(),
    'phone.turnOff': put(phoneOff),
    'phone.keepOn': () => state,
    'phone.newCode': () => put({ ...state, ...waiting(), phones: state.phones })(),
    'phone.disconnect': put({ ...phoneOff, isOn: true }),
  })
})
afterEach(takeDown)

const open = async () => {
  const page = await show(<PhoneDialog />)
  await act(async () => void fromPhone.run(useStore.getState()))
  await settle()
  return page
}

describe('off', () => {
  it('says what it is, that the booth is purged first, and what a network has to do with it', async () => {
    const page = await open()
    expect(page.textContent).toContain('Nothing is installed')
    expect(page.textContent).toContain('photograph after the booth has purged')
    expect(page.textContent).toContain('Only on a network that you trust')
    await click(buttonSaying(page, 'Turn it on'))
    expect(client.askedOf('phone.turnOn')).toEqual([{ address: home.address }])
    expect(page.querySelector('[aria-label="Code for the phone’s camera"] path')?.getAttribute('d')).toContain('M0 0h1')
  })
  it('warns where others can reach the address', async () => {
    const page = await open()
    expect(page.querySelectorAll('.warn')).toHaveLength(1)
    await click(page.querySelectorAll('input[type="radio"]')[1])
    expect(page.textContent).toContain('not one of a private network')
    await click(buttonSaying(page, 'Turn it on'))
    expect(client.askedOf('phone.turnOn')).toEqual([{ address: outside.address }])
  })
  it('cannot be turned on in no network', async () => {
    client.answer({ 'phone.addresses': () => ({ addresses: [] }) })
    const page = await open()
    expect(page.textContent).toContain('in no network')
    await click(buttonSaying(page, 'Turn it on'))
    expect(client.askedOf('phone.turnOn')).toEqual([])
  })
})

describe('which networks there are', () => {
  const addresses = (...now: (typeof home)[]) => client.answer({ 'phone.addresses': () => ({ addresses: now }) })
  it('is asked each time that it is opened: the computer may have been connected meanwhile', async () => {
    addresses()
    const page = await open()
    expect(page.textContent).toContain('in no network')
    await act(async () => usePhone.setState({ isShown: false }))
    addresses(home)
    await act(async () => usePhone.setState({ isShown: true }))
    await settle()
    expect(page.textContent).not.toContain('in no network')
    await click(buttonSaying(page, 'Turn it on'))
    expect(client.askedOf('phone.turnOn')).toEqual([{ address: home.address }])
  })
  it('and again when it could not be turned on there', async () => {
    const page = await open()
    addresses(outside)
    client.answer({
      'phone.turnOn': () => {
        throw new Refusal('phone/address-gone', 'This computer is no longer in that network.', 'Choose another.')
      },
    })
    await click(buttonSaying(page, 'Turn it on'))
    await settle()
    expect(page.textContent).toContain('not one of a private network')
    await click(buttonSaying(page, 'Turn it on'))
    expect(client.askedOf('phone.turnOn')).toEqual([{ address: home.address }, { address: outside.address }])
  })
})

describe('on', () => {
  it('a code that has run out is renewed while it is looked at and nobody has come', async () => {
    state = { ...waiting(), linkUntil: inMinutes(-1) }
    const page = await open()
    expect(client.askedOf('phone.newCode')).toHaveLength(1)
    expect(page.querySelector('.phone-symbol')).not.toBeNull()
    expect(page.textContent).toContain(`open ${waiting().link}`)
  })
  it('but not once a phone is connected, or while too many wrong codes have come', async () => {
    state = connected()
    const page = await open()
    expect(page.textContent).toContain('Phone 1 is connected')
    await become({ ...waiting(), link: null, symbol: [], linkUntil: null, said: 'Twenty wrong codes came in.' })
    expect(page.textContent).toContain('Twenty wrong codes')
    expect(client.askedOf('phone.newCode')).toEqual([])
    await click(buttonSaying(page, 'Show a new code'))
    expect(client.askedOf('phone.newCode')).toHaveLength(1)
  })
  it('shows who is connected and what came in, and lets go of a phone', async () => {
    state = connected()
    const page = await open()
    expect(page.textContent).toContain('2 arrived, 1 on the way')
    const rows = [...page.querySelectorAll('.phone-sent li')].map((row) => row.textContent)
    expect(rows).toEqual(['Goodb.jpg', 'Too darka.jpg'])
    expect(page.querySelectorAll('.phone-sent li svg')).toHaveLength(1)
    await click(buttonSaying(page, 'Disconnect Phone 1'))
    expect(client.askedOf('phone.disconnect')).toEqual([{ phoneId: 'one' }])
  })
  it('a sign stands in the frame as long as it is on, and leads to where it is turned off', async () => {
    const bar = await show(<PhoneSign />)
    expect(bar.textContent).toBe('')
    await become(connected())
    expect(bar.textContent).toMatch(/^1 phone(10:00|9:59)$/)
    await click(bar.querySelector('button'))
    expect(usePhone.getState().isShown).toBe(true)
    await become(phoneOff)
    expect(bar.textContent).toBe('')
  })
  it('what closed it by itself is told once, where its sheet is not open', async () => {
    await become(waiting())
    const closed = { ...phoneOff, said: 'Closed by itself: no phone was there for ten minutes.' }
    await become(closed)
    await become(closed)
    expect(useStore.getState().notices.map(({ message }) => message)).toEqual([closed.said])
  })
})
