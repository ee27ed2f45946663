import { act } from 'react'
import { afterEach, beforeEach, expect, it, vi } from 'vitest'
import { changeMarks, useDesk } from '../../renderer/screens/tray/desk-state.ts'
import { readDraft } from '../../renderer/screens/tray/marks-draft.ts'
import { useStore } from '../../renderer/state/store.ts'
import { settle, show, takeDown } from './mounting.ts'
import { clearTray, Place, panelQuad, setTray, tray, waiting } from './tray-place.tsx'

beforeEach(setTray)
afterEach(clearTray)

const marked = { kind: 'bands', quad: panelQuad, run: 'down', cuts: [], stepIds: [null] } as const
const mark = async () =>
  act(async () =>
    changeMarks({ ...useDesk.getState().marks, list: [{ ...marked, cuts: [...marked.cuts], stepIds: [null] }] }),
  )
const rested = async () => act(async () => new Promise((resolve) => setTimeout(resolve, 350)))
const asked = () => tray.client.askedOf('photos.mark')

it('a page that is hidden or closed keeps what is marked, once', async () => {
  await show(<Place />)
  await mark()
  await act(async () => {
    vi.spyOn(document, 'visibilityState', 'get').mockReturnValue('hidden')
    document.dispatchEvent(new Event('visibilitychange'))
    window.dispatchEvent(new Event('pagehide'))
  })
  await settle()
  expect(asked()).toHaveLength(1)
  expect(asked()[0]).toMatchObject({ photoId: 'first', layout: { areas: [{ shape: { quad: panelQuad } }] } })
  expect(readDraft()).toBeNull()
})

it('marks that never reached the rack are laid on their photo again; Undo takes them away', async () => {
  await show(<Place />)
  await mark()
  await rested()
  // ended by force: nothing could be kept
  const left = localStorage.getItem(localStorage.key(0)!)!
  const key = localStorage.key(0)!
  await takeDown()
  setTray()
  localStorage.setItem(key, left)
  await show(<Place />)
  await settle()
  expect(useDesk.getState().marks.list).toMatchObject([{ quad: panelQuad }])
  expect(useDesk.getState().past).toHaveLength(1)
  expect(useStore.getState().notices.map(({ message }) => message)).toContain(
    'Your marks on this photo are here again.',
  )
  expect(asked().at(-1)).toMatchObject({ photoId: 'first' })
  expect(readDraft()).toBeNull()
})

it('what was marked elsewhere since is newer', async () => {
  await show(<Place />)
  await mark()
  await rested()
  const key = localStorage.key(0)!
  const left = localStorage.getItem(key)!
  await takeDown()
  setTray()
  const area = { stepId: null, shape: { kind: 'round' as const, centre: [50, 50] as [number, number], radius: 20 } }
  tray.photos = [waiting('first', { areas: [area], card: null })]
  localStorage.setItem(key, left)
  await show(<Place />)
  await settle()
  expect(useDesk.getState().marks.list).toMatchObject([{ kind: 'round' }])
  expect(readDraft()).toBeNull()
})
