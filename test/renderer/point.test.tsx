import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { commandFor } from '../../renderer/commands/keyboard.ts'
import { takeColourOfPanel } from '../../renderer/commands/panel/take-colour.ts'
import { MatchPlace } from '../../renderer/screens/match/match-place.tsx'
import { useShownPhoto } from '../../renderer/screens/panel/shown-photo.ts'
import { idOfPhoto, idOfPoint, targetOf } from '../../renderer/state/match-address.ts'
import { pathOf, readRoute } from '../../renderer/state/router.ts'
import { useStore } from '../../renderer/state/store.ts'
import type { Photo } from '../../shared-core/records/photo.ts'
import type { FakeClient } from './fake-client.ts'
import { click, prepare, press, show, takeDown } from './mounting.ts'
import { shown as sample } from './sample-rack.ts'

const photo: Photo = { ...sample.photos[0]!, width: 4000, height: 3000 }

let client: FakeClient
beforeEach(() => {
  client = prepare({ 'photos.get': () => ({ photo, proposed: null, proposedSetupId: null }) })
})
afterEach(async () => {
  vi.restoreAllMocks()
  await takeDown()
})

const address = () => useStore.getState().route
const picker = (host: ParentNode) => host.querySelector<HTMLElement>('[role=application]')!
/** Where the spot is drawn, in shares. */
const spot = (host: ParentNode) => {
  const circle = host.querySelector('.point-spot circle')!
  return [Number(circle.getAttribute('cx')) / photo.width, Number(circle.getAttribute('cy')) / photo.height]
}
const choose = () => show(<MatchPlace referenceId={idOfPhoto(photo.id)} />)

describe('taking a colour in a photo', () => {
  it('has the keys at once, and shows where it stands', async () => {
    const host = await choose()
    expect(document.activeElement).toBe(picker(host))
    expect(spot(host)).toEqual([0.5, 0.5])
    await press('ArrowRight')
    await press('ArrowDown', { shiftKey: true })
    // a two hundredth of the longer side, and ten of them
    expect(spot(host)).toEqual([0.505, 0.5 + (0.05 * 4000) / 3000])
    for (let i = 0; i < 20; i++) await press('ArrowUp', { shiftKey: true })
    expect(spot(host)[1]).toBe(0)
  })

  it('takes the point by Enter and goes to Match with it', async () => {
    await choose()
    await press('ArrowLeft')
    await press('Enter')
    expect(address()).toMatchObject({ at: 'match', referenceId: idOfPoint({ photoId: photo.id, x: 0.495, y: 0.5 }) })
  })

  it('takes the point that is clicked', async () => {
    const host = await choose()
    const box = { left: 100, top: 50, width: 800, height: 600 } as DOMRect
    vi.spyOn(picker(host), 'getBoundingClientRect').mockReturnValue(box)
    await click(picker(host), { clientX: 300, clientY: 500 })
    expect(address()).toMatchObject({ referenceId: idOfPoint({ photoId: photo.id, x: 0.25, y: 0.75 }) })
  })

  it('is left by Escape, with nothing asked of the photo', async () => {
    await choose()
    await press('Escape')
    expect(address()).toMatchObject({ at: 'match', referenceId: null })
    expect(client.askedOf('photos.readPoint')).toEqual([])
  })
})

describe('the address of a point', () => {
  it('leads to the same point again, to four digits', () => {
    const referenceId = idOfPoint({ photoId: photo.id, x: 0.123456, y: 1 })
    const again = readRoute(pathOf({ at: 'match', referenceId }))
    expect(again).toMatchObject({ at: 'match', referenceId })
    expect(targetOf(referenceId)).toEqual({ kind: 'point', photoId: photo.id, x: 0.1235, y: 1 })
  })
})

describe('from a panel’s photo', () => {
  const shown = async (one: Photo | null) => {
    await act(async () => useShownPhoto.setState({ photo: one }))
    return takeColourOfPanel.missing(useStore.getState())
  }

  it('goes to the photo that is shown, by its key', async () => {
    expect(await shown({ ...photo, setupId: 'booth' })).toBeNull()
    expect(commandFor('k', 'panel')).toBe(takeColourOfPanel)
    await act(async () => takeColourOfPanel.run(useStore.getState()))
    expect(address()).toMatchObject({ at: 'match', referenceId: idOfPhoto(photo.id) })
  })

  it('says what is missing without a photo, and in one whose card is not marked', async () => {
    expect(await shown(null)).toContain('no photo')
    expect(await shown({ ...photo, setupId: null, layout: { areas: [], card: null } })).toContain('Mark the grey card')
  })
})
