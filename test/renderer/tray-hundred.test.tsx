import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { useKeyboard } from '../../renderer/commands/keyboard.ts'
import { Desk } from '../../renderer/screens/tray/desk/desk.tsx'
import { useDesk } from '../../renderer/screens/tray/desk-state.ts'
import { usePhotoOnDesk } from '../../renderer/screens/tray/proposing/use-photo-on-desk.ts'
import { Slip } from '../../renderer/screens/tray/slip/slip.tsx'
import { go } from '../../renderer/state/router.ts'
import { useStore } from '../../renderer/state/store.ts'
import type { Proposal } from '../../shared-core/records/proposal.ts'
import { buttonSaying, press, settle, show, type } from './mounting.ts'
import { panel } from './sample-rack.ts'
import { doubt, filed, foundLayout, foundOf, good, onStage, takeOut } from './tray-found.ts'
import { cardQuad, clearTray, Place, setTray, tray, waiting } from './tray-place.tsx'

beforeEach(setTray)
afterEach(clearTray)

/** Desk and keys without the pile; the slip while it is typed in: a hundred photos are laid here one after the other. */
function Bench() {
  useKeyboard()
  const photoId = useStore((s) => (s.route.at === 'tray' ? s.route.photoId : null))
  usePhotoOnDesk(photoId)
  const types = useDesk((s) => s.photo !== null && s.made !== null && s.panel === null)
  return (
    <>
      <Desk />
      {types ? <Slip /> : null}
    </>
  )
}

describe('a tray of 100 photos', () => {
  const ids = Array.from({ length: 100 }, (_, i) => `photo-${i}`)
  /** Every eighth is doubtful: four to be pulled straight, four without a panel, four with a card that is only guessed. */
  const trouble = (i: number) =>
    i % 8 === 3 && i < 96 ? (['corner', 'panel', 'card'] as const)[((i - 3) / 8) % 3]! : null
  const proposalFor = (id: string, i: number): Proposal => {
    switch (trouble(i)) {
      case 'corner':
        return good(id, { doubts: [doubt('place/unsure', 'It is not sure where the panel lies.')] })
      case 'panel':
        return good(id, { panelId: null, panelCode: null, doubts: [doubt('panel/not-said', 'Nothing says which.')] })
      case 'card':
        return good(id, {
          layout: { ...foundLayout, card: null },
          found: foundOf({ cards: [{ quad: cardQuad, confidence: 0.4 }] }),
          doubts: [doubt('card/none', 'No grey card was found.')],
        })
      default:
        return good(id)
    }
  }
  beforeEach(() => {
    tray.photos = ids.map((id) => waiting(id))
    tray.made = Object.fromEntries(ids.map((id, i) => [id, proposalFor(id, i)]))
    tray.client.answer({
      'photos.listFlats': () => ({ photos: [] }),
      'proposals.again': ({ photoId }) => ({ proposal: good(photoId) }),
    })
    takeOut()
  })

  it('reviewed one by one costs one key for a good photo, and a handful for one that is put right', async () => {
    useDesk.setState({ waiting: ids })
    useStore.setState({ route: { at: 'tray', photoId: ids[0]! } })
    const host = await show(<Bench />)
    const spent = { good: 0, corrected: 0 }
    const counted = { good: 0, corrected: 0 }
    for (let i = 0; i < 100; i++) {
      const at = useDesk.getState().photo!.id
      const kind = trouble(Number(at.split('-').at(-1)))
      const of = kind === null ? 'good' : 'corrected'
      counted[of]++
      const key = async (name: string, how: KeyboardEventInit = {}) => {
        spent[of]++
        await press(name, how)
      }
      if (kind === 'corner') for (const name of ['2', 'ArrowRight', 'ArrowUp']) await key(name)
      if (kind === 'card') await key('m')
      if (kind === 'panel') {
        await key('/')
        const field = host.querySelector<HTMLInputElement>('.tray-find input')!
        for (let n = 1; n <= panel.code.length; n++) {
          spent[of]++
          await type(field, panel.code.slice(0, n))
        }
        await key('Enter')
        await settle()
      }
      await key('Enter')
      expect(useDesk.getState().photo?.id).not.toBe(at)
    }
    expect(counted).toEqual({ good: 88, corrected: 12 })
    expect(filed()).toHaveLength(100)
    expect(spent.good).toBe(88)
    // wanted: two for a good photo
    expect(spent.good).toBeLessThanOrEqual(2 * 88)
    expect(spent.corrected).toBe(4 * 4 + 4 * (1 + panel.code.length + 2) + 4 * 2)
  }, 120_000)

  it('those that are sure are filed by two keys, after a list that can be looked over; the others stay', async () => {
    tray.client.answer({
      'proposals.fileReady': ({ photoIds }) => {
        tray.photos = tray.photos.filter(({ id }) => !photoIds.includes(id))
        return { jobId: 'job' }
      },
    })
    const host = await show(<Place />)
    expect(host.querySelector('.tray-head')?.textContent).toContain('88 sure, 12 doubtful')
    await onStage()
    await press('f')
    const dialog = host.querySelector('[role=listbox]')!
    expect(document.activeElement).toBe(dialog)
    expect(dialog.querySelector('[role=option]')?.getAttribute('aria-setsize')).toBe('88')
    expect(dialog.querySelectorAll('svg path').length).toBeGreaterThan(0)
    expect(host.querySelector('.tray-staying')?.textContent).toContain('12 are doubtful and stay in the Tray')
    expect(host.querySelector('.tray-staying')?.textContent).toContain('Nothing says which.')
    // the second is left out
    await press('ArrowDown')
    await press(' ')
    expect(buttonSaying(host, 'File 87 photos')).toBeDefined()
    await press('Enter')
    const [asked] = tray.client.askedOf('proposals.fileReady')
    expect(asked?.photoIds).toHaveLength(87)
    expect(asked?.photoIds).not.toContain('photo-1')
    expect(host.querySelector('[role=listbox]')).toBeNull()
    await act(async () => useStore.setState((s) => ({ rack: { ...s.rack!, revision: s.rack!.revision + 1 } })))
    await settle()
    await settle()
    // what lay on the desk was filed with them: the first that stays comes
    expect(location.pathname).toBe('/tray/photo-1')
    // opened again by its address, as from the job's outcome, it stays
    await act(async () => go({ at: 'tray', photoId: 'photo-0' }))
    await settle()
    await settle()
    expect(location.pathname).toBe('/tray/photo-0')
  })

  it('the doubtful alone are shown and walked', async () => {
    const host = await show(<Place />)
    await onStage()
    await press('d')
    expect(host.querySelector('.tray-pile li a')?.getAttribute('aria-label')).toContain('It is not sure where')
    expect(useDesk.getState().waiting).toHaveLength(12)
    await press('PageDown')
    expect(location.pathname).toBe('/tray/photo-3')
    await press('PageDown')
    expect(location.pathname).toBe('/tray/photo-11')
    await press('d')
    expect(useDesk.getState().waiting).toHaveLength(100)
  })
})
