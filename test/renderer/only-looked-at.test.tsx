import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { HistoryButtons } from '../../renderer/frame/history-buttons.tsx'
import { ChangeButton, ChangeFields, canChange } from '../../renderer/parts/change-only.tsx'
import { TextField } from '../../renderer/screens/jobs/text-field.tsx'
import { ChooseReference } from '../../renderer/screens/match/choose-reference.tsx'
import { changeMarks, emptyDesk, useDesk } from '../../renderer/screens/tray/desk-state.ts'
import { takeInFiles } from '../../renderer/screens/tray/hand-over.ts'
import { noMarks } from '../../renderer/screens/tray/marks.ts'
import { useStore } from '../../renderer/state/store.ts'
import type { RackInfo } from '../../shared-core/records/rack.ts'
import { type Answers, type FakeClient, fakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, show, takeDown } from './mounting.ts'
import { rackInfo } from './sample-rack.ts'

const table: Answers = { 'references.list': () => ({ references: [] }), 'lights.list': () => ({ lights: [] }) }
const looking: RackInfo = {
  ...rackInfo,
  access: { mode: 'reading', why: 'network', asOf: '2031-05-21T10:00:00Z' },
}
let client: FakeClient
beforeEach(() => {
  client = prepare(table, fakeClient(table))
  useStore.setState({ rack: rackInfo, notices: [], route: { at: 'rack' } })
  useDesk.setState(emptyDesk)
})
afterEach(takeDown)

/** As HTML has it, 4.10.15 (the fieldset element): a disabled one disables what is in it. */
const isLocked = (field: Element | null): boolean => field?.closest('fieldset')?.disabled === true

describe('what only serves changing', () => {
  it('is a button that works, and says why not while the rack is only looked at', async () => {
    let pressed = 0
    const host = await show(<ChangeButton onClick={() => pressed++}>Take it off</ChangeButton>)
    const button = buttonSaying(host, 'Take it off')!
    await click(button)
    expect([pressed, button.getAttribute('aria-disabled')]).toEqual([1, null])
    await act(async () => useStore.setState({ rack: looking }))
    await click(button)
    expect([pressed, button.getAttribute('aria-disabled')]).toEqual([1, 'true'])
    expect(button.title).toContain('only being looked at')
    expect(useStore.getState().notices[0]?.message).toContain('only being looked at')
  })

  it('fields can be read and not written to', async () => {
    useStore.setState({ rack: looking })
    const host = await show(
      <>
        <TextField label="Customer" value="Wren" onValue={() => undefined} />
        <ChangeFields>
          <input aria-label="Name" />
        </ChangeFields>
      </>,
    )
    expect(host.querySelector<HTMLInputElement>('label input')?.readOnly).toBe(true)
    expect(isLocked(host.querySelector('[aria-label=Name]'))).toBe(true)
  })

  it('a typed reference is not asked for', async () => {
    useStore.setState({ rack: looking })
    const host = await show(<ChooseReference />)
    const fields = [...host.querySelectorAll('.match-add form :is(input, select, button)')]
    expect(fields.length).toBeGreaterThan(5)
    expect(fields.filter((field) => !isLocked(field))).toEqual([])
  })

  it('marks do not move, and nothing that is dropped is handed over', async () => {
    const moved = { ...noMarks, list: [] }
    useStore.setState({ rack: looking })
    changeMarks(moved)
    expect(useDesk.getState().marks).not.toBe(moved)
    expect(canChange()).toBe(false)
    await takeInFiles([new File(['x'], 'a.jpg')])
    expect(client.askedOf('photos.takeIn')).toEqual([])
    useStore.setState({ rack: rackInfo })
    changeMarks(moved)
    expect(useDesk.getState().marks).toBe(moved)
  })
})

it('of what can be undone the code stands by itself, and the name says all of it', async () => {
  useStore.setState({ rack: { ...rackInfo, undo: 'file IMG_0412.jpg to P-0042', redo: 'mark IMG_0412.jpg' } })
  const host = await show(<HistoryButtons />)
  const [undo, redo] = host.querySelectorAll('button')
  expect(undo?.getAttribute('aria-label')).toBe('Undo file IMG_0412.jpg to P-0042')
  expect(undo?.title).toContain('Undo file IMG_0412.jpg to P-0042')
  expect([...undo!.children].map((part) => part.textContent)).toEqual(['Undo', 'file IMG_0412.jpg to', 'P-0042'])
  expect([...redo!.children].map((part) => part.textContent)).toEqual(['Redo', 'mark IMG_0412.jpg'])
})
