import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { useKeyboard } from '../../renderer/commands/keyboard.ts'
import { RackPlace } from '../../renderer/screens/rack/rack-place.tsx'
import { paintOf, wallGeometry } from '../../renderer/screens/rack/wall/geometry.ts'
import { useStore } from '../../renderer/state/store.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { noFilter } from '../../shared-core/records/panel.ts'
import type { SavedSearch } from '../../shared-core/records/wall.ts'
import type { FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, press, settle, show, takeDown, type } from './mounting.ts'
import { ordered, panels, wallAnswers } from './sample-rack.ts'

function WithKeys() {
  useKeyboard()
  return <RackPlace />
}

let client: FakeClient
beforeEach(() => {
  for (const side of ['clientWidth', 'offsetWidth'] as const)
    vi.spyOn(HTMLElement.prototype, side, 'get').mockReturnValue(1280)
  for (const side of ['clientHeight', 'offsetHeight'] as const)
    vi.spyOn(HTMLElement.prototype, side, 'get').mockReturnValue(620)
  client = prepare({
    ...wallAnswers,
    'panels.changeMany': ({ panelIds }) => ({ changed: panelIds.length, skipped: [] }),
  })
})
afterEach(async () => {
  await takeDown()
  vi.restoreAllMocks()
})

const chosen = () => useStore.getState().chosen
const notice = () => {
  const { message, remedy } = useStore.getState().notices.at(-1)!
  return `${message} ${remedy}`.trim()
}
const changes = () => client.askedOf('panels.changeMany')

describe('all at once', () => {
  it('moves to the trash with one change, and says that one Undo takes it back', async () => {
    useStore.setState({ chosen: ['panel-2', 'panel-9'] })
    await show(<WithKeys />)
    await press('Delete')
    expect(changes()).toEqual([{ panelIds: ['panel-2', 'panel-9'], change: { trash: true } }])
    expect(chosen()).toEqual([])
    expect(notice()).toBe('2 panels moved to the trash. One Undo takes it back.')
  })

  it('says what was left as before, and why', async () => {
    client.answer({
      'panels.changeMany': ({ panelIds }) => ({
        changed: 1,
        skipped: [{ why: 'It has two grounds.', panelIds: panelIds.slice(1) }],
      }),
    })
    useStore.setState({ chosen: ['panel-1', 'panel-2', 'panel-3'] })
    const host = await show(<WithKeys />)
    await click(buttonSaying(host, 'Ground'))
    await type(host.querySelector('dialog input'), 'gold')
    await click(buttonSaying(host, 'Change 3 panels'))
    expect(changes()).toEqual([{ panelIds: ['panel-1', 'panel-2', 'panel-3'], change: { ground: 'gold' } }])
    expect(notice()).toBe(
      '1 panel: the ground is “gold” now. 2 panels left as before: It has two grounds. One Undo takes it back.',
    )
    expect(host.querySelector('dialog')).toBeNull()
    // still chosen: the next thing can be done with them
    expect(chosen()).toHaveLength(3)
  })

  it('puts tags on and takes off, from what the rack and the panels have', async () => {
    const tagged = panels.filter(({ tags }) => tags.includes('helmet')).map(({ id }) => id)
    useStore.setState({ chosen: [tagged[0]!, 'panel-1'] })
    const host = await show(<WithKeys />)
    await press('e')
    const dialog = host.querySelector('dialog')!
    expect(dialog.querySelector('fieldset')?.textContent).toContain('helmet on 1 of 2')
    await type(dialog.querySelector('input'), 'customer')
    await act(async () => {
      dialog
        .querySelector('input')!
        .dispatchEvent(new KeyboardEvent('keydown', { key: 'Enter', bubbles: true, cancelable: true }))
    })
    await click(dialog.querySelector('fieldset input'))
    await click(buttonSaying(dialog, 'Change 2 panels'))
    expect(changes()).toEqual([
      { panelIds: [tagged[0], 'panel-1'], change: { addTags: ['customer'], removeTags: ['helmet'] } },
    ])
    expect(notice()).toContain('“customer” put on, “helmet” taken off')
  })

  it('chooses all that fit, and keeps what the words hide', async () => {
    useStore.setState({ filter: { ...noFilter, grounds: ['gold'] }, chosen: ['panel-1'] })
    const host = await show(<WithKeys />)
    const said = () => host.querySelector('.rack-chosen [role=status]')?.textContent
    expect(said()).toBe('1 panel chosen, 1 not shown')
    await press('a', { ctrlKey: true })
    const fitting = ordered(useStore.getState().filter, 'ground').ids
    expect(chosen()).toEqual(['panel-1', ...fitting])
    expect(said()).toBe(`${fitting.length + 1} panels chosen, 1 not shown`)
    expect(buttonSaying(host, `Choose all ${fitting.length}`)).toBeUndefined()
    await press('Escape')
    expect(chosen()).toEqual([])
  })

  it('goes to the labels', async () => {
    useStore.setState({ chosen: ['panel-2'] })
    const host = await show(<WithKeys />)
    await click(buttonSaying(host, 'Print'))
    expect(useStore.getState().printing).toEqual({ kind: 'label', panelIds: ['panel-2'] })
  })
})

describe('side by side', () => {
  it('lays two to six, in the order they were chosen', async () => {
    useStore.setState({ chosen: ['panel-9', 'panel-2'] })
    await show(<WithKeys />)
    await press('b')
    expect(useStore.getState().route).toMatchObject({
      at: 'side',
      items: [
        { kind: 'panel', id: 'panel-9' },
        { kind: 'panel', id: 'panel-2' },
      ],
    })
  })

  it('says how many it takes', async () => {
    useStore.setState({ chosen: panels.slice(0, 7).map(({ id }) => id) })
    const host = await show(<WithKeys />)
    await click(buttonSaying(host, 'Lay side by side'))
    expect(location.pathname).toBe('/rack')
    expect(notice()).toBe('Choose two to six panels.')
  })
})

describe('a frame dragged over the wall', () => {
  const wall = wallGeometry(60, 1280, 96)
  const ids = ordered(noFilter, 'ground').ids
  const pointer = async (kind: string, x: number, y: number, more: PointerEventInit = {}) => {
    const scroller = document.querySelector('.rack-wall')!
    await act(async () => {
      scroller.dispatchEvent(
        new PointerEvent(kind, {
          clientX: x,
          clientY: y,
          pointerId: 1,
          isPrimary: true,
          button: 0,
          pointerType: 'mouse',
          bubbles: true,
          ...more,
        }),
      )
    })
  }
  const from = paintOf(1, wall)
  const to = paintOf(12, wall)

  it('chooses what it touches, also beside what was chosen, and Escape takes it back', async () => {
    useStore.setState({ chosen: ['panel-60'] })
    await show(<WithKeys />)
    const touched = [ids[1]!, ids[2]!, ids[3]!, ids[10]!, ids[11]!, ids[12]!]
    await pointer('pointerdown', from.left - 4, from.top - 4)
    await pointer('pointermove', to.left + 4, to.top + 4)
    expect(chosen()).toEqual(touched)
    await press('Escape')
    expect(chosen()).toEqual(['panel-60'])
    await pointer('pointerup', to.left + 4, to.top + 4)

    await pointer('pointerdown', from.left - 4, from.top - 4, { shiftKey: true })
    await pointer('pointermove', to.left + 4, to.top + 4, { shiftKey: true })
    await pointer('pointerup', to.left + 4, to.top + 4, { shiftKey: true })
    expect(chosen()).toEqual(['panel-60', ...touched])
  })

  it('opens nothing when the hand is lifted over a panel', async () => {
    const host = await show(<WithKeys />)
    await pointer('pointerdown', from.left, from.top)
    await pointer('pointermove', from.left + 30, from.top + 30)
    await pointer('pointerup', from.left + 30, from.top + 30)
    await click(host.querySelector(`[data-panel="${ids[1]}"]`))
    expect(location.pathname).toBe('/rack')
    expect(chosen()).toEqual([ids[1]])
  })

  it('is not what a finger does that scrolls', async () => {
    await show(<WithKeys />)
    await pointer('pointerdown', from.left, from.top, { pointerType: 'touch' })
    await pointer('pointermove', from.left + 3, from.top + 60, { pointerType: 'touch' })
    await pointer('pointermove', from.left + 90, from.top + 160, { pointerType: 'touch' })
    expect(chosen()).toEqual([])
  })

  it('is what a finger does sideways', async () => {
    await show(<WithKeys />)
    await pointer('pointerdown', from.left, from.top, { pointerType: 'touch' })
    await pointer('pointermove', from.left + 140, from.top + 20, { pointerType: 'touch' })
    expect(chosen()).toEqual([ids[1], ids[2]])
  })
})

describe('saved searches', () => {
  const kept: SavedSearch[] = []
  beforeEach(() => {
    kept.splice(0)
    client.answer({
      'searches.list': () => ({ searches: kept.map((search) => ({ ...search })) }),
      'searches.save': ({ replace, ...search }) => {
        const at = kept.findIndex(({ name }) => name === search.name)
        if (at >= 0 && !replace)
          throw new Refusal('search/name-taken', `There is a search “${search.name}” already.`, 'Take another name.')
        const saved = { ...search, id: `search-${kept.length}` }
        if (at >= 0) kept[at] = saved
        else kept.push(saved)
        return { search: saved }
      },
      'searches.rename': ({ id, name }) => {
        const search = kept.find((one) => one.id === id)!
        search.name = name
        return { search }
      },
      'searches.remove': ({ id }) => {
        kept.splice(
          kept.findIndex((one) => one.id === id),
          1,
        )
        return {}
      },
    })
  })
  /** The service tells that the rack has changed. */
  const changed = async () => {
    const { rack, setRack } = useStore.getState()
    await act(async () => setRack({ ...rack!, revision: rack!.revision + 1 }))
    await settle()
  }

  it('is saved, asked before it is replaced, chosen, renamed and removed', async () => {
    useStore.setState({ filter: { ...noFilter, grounds: ['gold'] }, sort: 'hue', group: 'candy' })
    const host = await show(<WithKeys />)
    await press('s')
    const dialog = () => host.querySelector('dialog')!
    const field = () => dialog().querySelector<HTMLInputElement>('.saved-form.block input')!
    await type(field(), 'Golds')
    await click(buttonSaying(dialog(), 'Save'))
    await changed()
    expect(kept).toMatchObject([{ name: 'Golds', sort: 'hue', group: 'candy', filter: { grounds: ['gold'] } }])
    expect(dialog().textContent).toContain('over gold; grouped by candy, sorted by hue')

    await type(field(), 'Golds')
    await click(buttonSaying(dialog(), 'Save'))
    expect(dialog().textContent).toContain('There is a search “Golds” already.')
    expect(kept).toHaveLength(1)
    await click(buttonSaying(dialog(), 'Replace it'))
    await changed()
    expect(kept).toHaveLength(1)

    await click(buttonSaying(dialog(), 'Rename Golds'))
    await type(dialog().querySelector('li input'), 'Gold shop')
    await click(buttonSaying(dialog(), 'Rename'))
    await changed()
    expect(kept[0]?.name).toBe('Gold shop')

    await act(async () => useStore.setState({ filter: noFilter, sort: 'code', group: 'none' }))
    await settle()
    await click([...dialog().querySelectorAll('.saved-name')][0])
    expect(useStore.getState()).toMatchObject({ sort: 'hue', group: 'candy', filter: { grounds: ['gold'] } })
    expect(host.querySelector('dialog')).toBeNull()

    await press('s')
    await click(buttonSaying(dialog(), 'Remove Gold shop'))
    await changed()
    expect(kept).toEqual([])
    expect(dialog().textContent).toContain('None yet.')
    expect(notice()).toContain('Undo brings it back.')
  })
})
