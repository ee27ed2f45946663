import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { commands } from '../../renderer/commands/all.ts'
import { HistoryButtons } from '../../renderer/frame/history-buttons.tsx'
import { useDesk } from '../../renderer/screens/tray/desk-state.ts'
import { useStore } from '../../renderer/state/store.ts'
import { buttonSaying, click, press, settle, show, type } from './mounting.ts'
import { panel, panels } from './sample-rack.ts'
import { doubt, filed, foundLayout, good, onStage } from './tray-found.ts'
import { cardQuad, choosePanel, clearTray, mainButton, Place, setTray, stage, tray } from './tray-place.tsx'

beforeEach(setTray)
afterEach(clearTray)

const codesFound = () => [...document.querySelectorAll('[aria-label="Panels found"] b')].map((code) => code.textContent)

describe('by keys alone', () => {
  it('the panel is picked by typing, and the keys go back to the photo', async () => {
    tray.made = {
      first: good('first', { panelId: null, panelCode: null, doubts: [doubt('panel/not-said', 'Which?')] }),
    }
    tray.client.answer({ 'proposals.again': ({ photoId }) => ({ proposal: good(photoId) }) })
    const host = await show(<Place />)
    await onStage()
    expect(mainButton(host).textContent).toBe('Say which panel this is')
    // all else is found: the key that goes on asks for what is wanting
    await press('Enter')
    const field = host.querySelector<HTMLInputElement>('.tray-find input')!
    expect(document.activeElement).toBe(field)
    await type(field, panel.code)
    // before any answer has come
    await press('Enter')
    await settle()
    await settle()
    expect(document.activeElement).toBe(stage(host))
    expect(tray.client.askedOf('proposals.again')).toEqual([{ photoId: 'first', panelId: panel.id }])
    expect(useDesk.getState().panel?.id).toBe(panel.id)
    await press('Enter')
    expect(filed()).toHaveLength(1)
  })

  it('panels that are called so come before those that only have the word in their formula', async () => {
    const [one, other] = panels
    const called = { ...one!, code: 'P-0001', title: 'Copper over silver' }
    const mixed = { ...other!, code: 'P-0002', title: 'Ladder' }
    tray.client.answer({ 'panels.list': () => ({ total: 2, panels: [mixed, called] }) })
    tray.made = {
      first: good('first', { panelId: null, panelCode: null, doubts: [doubt('panel/not-said', 'Which?')] }),
    }
    const host = await show(<Place />)
    await onStage()
    await press('/')
    await type(host.querySelector('.tray-find input'), 'copper')
    // the field waits for the next letter before it asks
    await act(() => vi.waitFor(() => expect(codesFound()).toEqual(['P-0001', 'P-0002'])))
  })

  it('a tool that is taken meanwhile stays in the hand', async () => {
    tray.made = {
      first: good('first', { panelId: null, panelCode: null, doubts: [doubt('panel/not-said', 'Which?')] }),
    }
    let answer = () => {}
    tray.client.answer({
      'proposals.again': async ({ photoId }) => {
        await new Promise<void>((resolve) => {
          answer = resolve
        })
        return { proposal: good(photoId) }
      },
    })
    const host = await show(<Place />)
    await choosePanel(host)
    await click(buttonSaying(host, 'Mark the panel'))
    await act(async () => answer())
    await settle()
    expect(useDesk.getState()).toMatchObject({ tool: 'panel', panel: { id: panel.id } })
  })

  it('Escape in the field brings back the panel that was there', async () => {
    tray.made = { first: good('first') }
    const host = await show(<Place />)
    await onStage()
    await press('/')
    expect(useDesk.getState().panel).toBeNull()
    await press('Escape')
    expect(useDesk.getState().panel?.id).toBe(panel.id)
    expect(document.activeElement).toBe(stage(host))
  })

  it('a photo is looked at again; what was marked is brought back by undo', async () => {
    tray.made = { first: good('first', { layout: { ...foundLayout, card: null } }) }
    tray.client.answer({ 'proposals.again': ({ photoId }) => ({ proposal: good(photoId) }) })
    await show(<Place />)
    await onStage()
    await press('l')
    expect(tray.client.askedOf('proposals.again')).toEqual([{ photoId: 'first', panelId: null }])
    expect(useDesk.getState()).toMatchObject({ proposal: true, looking: false })
    expect(useDesk.getState().marks.card?.quad).toEqual(cardQuad)
    // with marks of one’s own it is a step like any other
    await press('1')
    await press('ArrowLeft')
    const mine = useDesk.getState().marks
    await press('l')
    await settle()
    expect(useDesk.getState().proposal).toBe(false)
    await press('z', { ctrlKey: true })
    expect(useDesk.getState().marks).toEqual(mine)
  })

  it('a photo is left for later and discarded from the desk', async () => {
    await show(<Place />)
    await onStage()
    await press('Enter', { shiftKey: true })
    expect(filed()).toEqual([])
    expect(location.pathname).toBe('/tray/second')
    await onStage()
    await press('Delete', { shiftKey: true })
    expect(tray.client.askedOf('photos.discard')).toEqual([{ photoId: 'second' }])
  })
})

describe('the keys of the tray', () => {
  it('are each of one thing only', () => {
    // as `desk-keys.ts` has them
    const desk = [
      '1',
      '2',
      '3',
      '4',
      'a',
      'c',
      'h',
      'w',
      'b',
      'g',
      'r',
      'p',
      '0',
      'Enter',
      'Delete',
      'Backspace',
      'Escape',
      '+',
      '=',
      '-',
    ]
    const own = commands.filter(({ place }) => place === 'tray').flatMap(({ shortcut }) => shortcut ?? [])
    // undo and redo take the marks first and hand on what is no mark
    const shared = ['Mod+z', 'Mod+Shift+z']
    const anywhere = commands
      .filter(({ place }) => place === 'any')
      .flatMap(({ shortcut }) => shortcut ?? [])
      .filter((chord) => !shared.includes(chord))
    const all = [...desk, ...own, ...anywhere]
    expect(all.filter((chord, i) => all.indexOf(chord) !== i)).toEqual([])
  })
})

describe('a photo that was taken again', () => {
  const retake = (photoId: string) =>
    good(photoId, {
      retakeOf: { photoId: 'second', name: 'second.jpg', filed: false },
      doubts: [doubt('retake/same-sitting', 'second.jpg shows it too.')],
    })

  it('says of which, and one key files it and then discards the earlier', async () => {
    tray.made = { first: retake('first') }
    tray.client.answer({ 'proposals.replaceEarlier': () => ({}) })
    const host = await show(<Place />)
    await settle()
    expect(host.querySelector('.tray-retake')?.textContent).toContain('Taken again: second.jpg shows it too.')
    // said once, with what can be done about it
    expect(host.querySelectorAll('.tray-slip .warn')).toHaveLength(0)
    await onStage()
    await press('e')
    await settle()
    const asked = tray.client.asked.map(({ name }) => name)
    expect(asked.indexOf('photos.file')).toBeGreaterThan(0)
    expect(asked.indexOf('proposals.replaceEarlier')).toBeGreaterThan(asked.indexOf('photos.file'))
    expect(tray.client.askedOf('proposals.replaceEarlier')).toEqual([
      { photoId: 'first', earlierPhotoId: 'second', panelId: panel.id },
    ])
    // the earlier one is gone: the one after it comes
    expect(location.pathname).toBe('/tray/third')
  })

  it('what cannot be filed yet takes no place', async () => {
    tray.made = { first: retake('first') }
    tray.made.first!.doubts.push(doubt('place/bent-sheet', 'The sheet is bent.'))
    await show(<Place />)
    await onStage()
    await press('e')
    await settle()
    expect(tray.client.askedOf('proposals.replaceEarlier')).toEqual([])
    expect(filed()).toEqual([])
  })

  it('is no retake of another panel’s photo', async () => {
    tray.made = { first: { ...retake('first'), panelId: 'other', panelCode: 'P-0002' } }
    tray.client.answer({ 'proposals.again': ({ photoId }) => ({ proposal: good(photoId) }) })
    const host = await show(<Place />)
    await onStage()
    await press('/')
    await choosePanel(host)
    await settle()
    expect(host.querySelector('.tray-retake')).toBeNull()
    await onStage()
    await press('e')
    expect(tray.client.askedOf('proposals.replaceEarlier')).toEqual([])
  })

  it('both are kept by another key, which is remembered, and nothing is discarded', async () => {
    tray.made = { first: retake('first') }
    tray.client.answer({ 'proposals.say': ({ photoId }) => ({ proposal: good(photoId) }) })
    const host = await show(<Place />)
    await onStage()
    await press('v')
    expect(host.querySelector('.tray-retake')).toBeNull()
    expect(tray.client.askedOf('proposals.say')).toEqual([{ photoId: 'first', bothKept: true }])
    await press('Enter')
    expect(filed()).toHaveLength(1)
  })
})

describe('Undo', () => {
  it('in the bar names what its key takes back', async () => {
    tray.made = { first: good('first') }
    const bar = await show(
      <>
        <HistoryButtons />
        <Place />
      </>,
    )
    const named = () => bar.querySelector('.history .btn')?.getAttribute('aria-label')
    await act(async () => useStore.setState((s) => ({ rack: { ...s.rack!, undo: 'file one.jpg' } })))
    expect(named()).toBe('Undo file one.jpg')
    await onStage()
    await press('1')
    await press('ArrowLeft')
    expect(named()).toBe('Undo marking')
    await press('z', { ctrlKey: true })
    expect(named()).toBe('Undo file one.jpg')
  })
})
