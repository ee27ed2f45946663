import { act as draw } from 'react'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { Notices } from '../../renderer/frame/notices.tsx'
import { Dialog } from '../../renderer/parts/dialog.tsx'
import { act } from '../../renderer/state/asking.ts'
import { useStore } from '../../renderer/state/store.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, press, settle, show, takeDown } from './mounting.ts'
import { rackInfo } from './sample-rack.ts'

let client: FakeClient
const refuse = () => {
  throw new Refusal('reading/absent', 'The original is missing.', 'Look under “Check and repair”.')
}
beforeEach(() => {
  client = prepare({ 'readings.remove': refuse })
})
afterEach(async () => {
  vi.useRealTimers()
  await takeDown()
})
const said = () => useStore.getState().notices.map(({ message }) => message)
const { setRoute, warn } = useStore.getState()
/** Long enough ago for nobody to take it for what led here. */
const later = (ms = 2000) => vi.setSystemTime(Date.now() + ms)

describe('what went wrong', () => {
  it('is said until the place changes, and no longer', async () => {
    vi.useFakeTimers({ toFake: ['Date'] })
    setRoute({ at: 'panel', key: 'P-0001' })
    await act('readings.remove', { readingId: 'r' })
    expect(said()).toEqual(['The original is missing.'])
    // the same place by another address
    later()
    setRoute({ at: 'panel', key: 'P-0001' })
    expect(said()).toHaveLength(1)
    setRoute({ at: 'panel', key: 'P-0002' })
    expect(said()).toEqual([])
  })

  it('stays where saying so led to another place, and where it is about the whole', async () => {
    vi.useFakeTimers({ toFake: ['Date'] })
    warn({ message: 'Counted nothing.', remedy: '' })
    warn({ message: 'The service was started again.', remedy: '' }, { stays: true })
    setRoute({ at: 'shelf', materialId: 'm' })
    expect(said()).toEqual(['Counted nothing.', 'The service was started again.'])
    later()
    setRoute({ at: 'rack' })
    expect(said()).toEqual(['The service was started again.'])
  })

  it('goes when the same thing succeeds, or the rack can be changed after all', async () => {
    await act('readings.remove', { readingId: 'r' })
    client.answer({ 'readings.remove': () => ({}) })
    await act('readings.remove', { readingId: 'r' })
    expect(said()).toEqual([])
    vi.useFakeTimers({ toFake: ['Date'] })
    useStore.setState({ rack: { ...rackInfo, access: { mode: 'reading', why: 'in-use', asOf: null } } })
    warn({ message: 'This rack is only being looked at.', remedy: '' })
    later()
    useStore.getState().setRack(rackInfo)
    expect(said()).toEqual([])
  })

  it('is closed by Escape and by its button, the newest first', async () => {
    const page = await show(<Notices />)
    await draw(async () => {
      warn({ message: 'One.', remedy: '' })
      warn({ message: 'Two.', remedy: '' })
    })
    await press('Escape')
    expect(said()).toEqual(['One.'])
    await click(buttonSaying(page, 'Put away'))
    expect(said()).toEqual([])
  })

  it('is said in the sheet that lies over the place, where Escape closes the sheet first', async () => {
    await show(
      <>
        <Notices />
        <Dialog title="New job" onClose={() => undefined}>
          <p>Its fields</p>
        </Dialog>
      </>,
    )
    await draw(async () => warn({ message: 'The disk is full.', remedy: 'Make room.' }))
    await settle()
    expect(document.querySelector('dialog .cautions')?.textContent).toContain('The disk is full.')
    await press('Escape')
    expect(said()).toHaveLength(1)
  })
})
