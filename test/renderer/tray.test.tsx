import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { readCoats } from '../../renderer/screens/tray/slip/new-panel.tsx'
import { factsOf } from '../../renderer/screens/tray/slip/photo-facts.tsx'
import { useStore } from '../../renderer/state/store.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import { buttonSaying, click, press, settle, show, type } from './mounting.ts'
import { panel, rackInfo, shown } from './sample-rack.ts'
import {
  cardQuad,
  choosePanel,
  clearTray,
  drag,
  mainButton,
  Place,
  panelQuad,
  proposed,
  setTray,
  tray,
  waiting,
} from './tray-place.tsx'

beforeEach(setTray)
afterEach(clearTray)

describe('the pile', () => {
  it('says what to do while nothing waits, and that cameras are ignition sources', async () => {
    tray.photos = []
    const host = await show(<Place />)
    expect(host.textContent).toContain('beside the grey card')
    expect(host.textContent).toContain('JPEG, HEIC, DNG')
    expect(host.textContent).toContain('ignition sources: photograph after the booth has purged.')
  })

  it('opens the first photo waiting, and walks with Page Down', async () => {
    const host = await show(<Place />)
    expect(location.pathname).toBe('/tray/first')
    await press('PageDown')
    expect(location.pathname).toBe('/tray/second')
    await press('PageUp')
    await press('PageUp')
    expect(location.pathname).toBe('/tray/third')
    expect(host.querySelector('[aria-current="true"]')?.textContent).toContain('third.jpg')
  })

  it('takes in what is chosen and what is pasted', async () => {
    const host = await show(<Place />)
    const input = host.querySelector<HTMLInputElement>('input[type=file]')!
    for (const ending of ['.heic', '.heif', '.dng']) expect(input.accept).toContain(ending)
    const file = new File(['x'], 'panel.jpg', { type: 'image/jpeg' })
    Object.defineProperty(input, 'files', { value: [file] })
    await act(async () => input.dispatchEvent(new Event('change', { bubbles: true })))
    await settle()
    const paste = Object.assign(new Event('paste', { bubbles: true, cancelable: true }), {
      clipboardData: { files: [new File(['y'], 'image.png', { type: 'image/png' })] },
    })
    await act(async () => document.body.dispatchEvent(paste))
    await settle()
    const [chosen, pasted] = tray.client.askedOf('photos.takeIn')
    expect(chosen?.files).toEqual([{ path: '/staged/panel.jpg', name: 'panel.jpg' }])
    expect(pasted?.files[0]?.name).toMatch(/^Pasted .+\.png$/)
  })

  it('says which file could not be handed over', async () => {
    const host = await show(<Place />)
    tray.client.stage = async () => {
      throw new Error('unreadable')
    }
    const input = host.querySelector<HTMLInputElement>('input[type=file]')!
    Object.defineProperty(input, 'files', { value: [new File([], 'gone.jpg')] })
    await act(async () => input.dispatchEvent(new Event('change', { bubbles: true })))
    await settle()
    expect(tray.client.askedOf('photos.takeIn')).toEqual([])
    expect(useStore.getState().notices[0]?.message).toBe('gone.jpg could not be read.')
  })

  it('says in words when a photo is gone', async () => {
    useStore.setState({ route: { at: 'tray', photoId: 'nowhere' } })
    const host = await show(<Place />)
    expect(host.textContent).toContain('This photo is not in the rack.')
  })

  it('leaves the desk when its taking in is undone, and comes back with redo', async () => {
    const photo = waiting('first')
    tray.photos = [photo]
    const host = await show(<Place />)
    expect(host.querySelector('.tray-desk')).not.toBeNull()
    const change = async (revision: number, photos: typeof tray.photos) => {
      tray.photos = photos
      await act(async () => useStore.setState({ rack: { ...rackInfo, revision } }))
      await settle()
    }
    await change(rackInfo.revision + 1, [])
    expect(host.querySelector('.tray-desk')).toBeNull()
    expect(host.textContent).toContain('This photo is not in the rack.')
    await change(rackInfo.revision + 2, [photo])
    expect(host.querySelector('.tray-desk')).not.toBeNull()
  })
})

describe('filing', () => {
  it('files with steps, light, view, stage and age, then says so on the next photo', async () => {
    tray.photos = [waiting('first', proposed), waiting('second')]
    const host = await show(<Place />)
    expect(mainButton(host).textContent).toBe('Say which panel this is')
    await click(mainButton(host))
    expect(tray.client.askedOf('photos.file')).toEqual([])
    await choosePanel(host)
    const selects = [...host.querySelectorAll<HTMLSelectElement>('.tray-circumstances select')]
    for (const [select, value] of [
      [selects[0], 'tubes'],
      [selects[1], 'flop'],
      [selects[2], 'cleared'],
    ] as const)
      await act(async () => {
        select!.value = value
        select!.dispatchEvent(new Event('change', { bubbles: true }))
      })
    await click(mainButton(host))
    const [asked] = tray.client.askedOf('photos.file')
    expect(asked).toMatchObject({
      photoId: 'first',
      panelId: panel.id,
      lightId: 'tubes',
      view: 'flop',
      stage: 'cleared',
    })
    expect(asked?.layout.areas.map((area) => area.stepId)).toEqual(panel.steps.map((step) => step.id))
    expect(location.pathname).toBe('/tray/second')
    const told = host.querySelector('.tray-filed')!
    expect(told.textContent).toContain(`Filed, ${panel.steps.length} readings.`)
    expect(told.querySelector('a')?.getAttribute('href')).toBe(`/panel/${panel.code}`)
    // filed: nothing is left to keep
    expect(tray.client.askedOf('photos.mark')).toEqual([])
  })

  it('stays on the photo and tells why when the service refuses', async () => {
    tray.photos = [waiting('first', proposed)]
    tray.client.answer({
      'photos.file': () => {
        throw new Refusal('photo/nothing-readable', 'No area could be read.', 'Take the photo again.')
      },
    })
    const host = await show(<Place />)
    await choosePanel(host)
    await click(mainButton(host))
    expect(location.pathname).toBe('/tray/first')
    expect(useStore.getState().notices[0]?.message).toBe('No area could be read.')
    expect(mainButton(host).textContent).toBe(`File to ${panel.code}`)
  })

  it('files one area as a reference, by name', async () => {
    tray.photos = [waiting('first', proposed)]
    const host = await show(<Place />)
    await click(buttonSaying(host, 'A reference to match'))
    expect(mainButton(host).textContent).toBe('Give the reference a name')
    await type(host.querySelector('.tray-slip-in > .change-fields > .field input'), 'Left tank')
    await click(buttonSaying(host, 'File as reference'))
    expect(tray.client.askedOf('photos.fileReference')[0]).toMatchObject({
      name: 'Left tank',
      area: { stepId: null, shape: { kind: 'quad', quad: panelQuad } },
      card: { quad: cardQuad },
    })
    expect(host.querySelector('.tray-filed a')?.getAttribute('href')).toBe('/match/ref-1')
  })

  it('makes a new panel on the spot, with its steps', async () => {
    tray.photos = [waiting('first', proposed)]
    const host = await show(<Place />)
    await click(buttonSaying(host, 'New panel'))
    const [title, coats] = host.querySelectorAll<HTMLInputElement>('.tray-new input')
    await type(title, 'Slack Water')
    await type(coats, '0 2 2.5')
    await click(buttonSaying(host, 'Make P-0312'))
    expect(tray.client.askedOf('panels.save')[0]?.draft).toMatchObject({
      id: null,
      title: 'Slack Water',
      steps: [{ coats: 0 }, { coats: 2 }, { coats: 2.5 }],
    })
    expect(mainButton(host).textContent).toBe('File to P-0312')
  })

  it('“Later” keeps the marks and goes on', async () => {
    const host = await show(<Place />)
    await click(buttonSaying(host, 'Mark the panel'))
    await drag(host, [100, 100], [400, 700])
    await click(buttonSaying(host, 'Later'))
    expect(tray.client.askedOf('photos.mark')).toHaveLength(1)
    expect(tray.client.askedOf('photos.mark')[0]).toMatchObject({ photoId: 'first', view: 'face', stage: 'dry' })
    expect(location.pathname).toBe('/tray/second')
  })

  it('marks are kept, too, when one simply takes another photo', async () => {
    const host = await show(<Place />)
    await click(buttonSaying(host, 'Mark the panel'))
    await drag(host, [100, 100], [400, 700])
    await click(host.querySelectorAll('.tray-pile li a')[2])
    expect(tray.client.askedOf('photos.mark').map((asked) => asked.photoId)).toEqual(['first'])
  })

  it('discards, saying that undo brings it back', async () => {
    const host = await show(<Place />)
    await click(buttonSaying(host, 'Discard photo'))
    expect(tray.client.askedOf('photos.discard')).toEqual([{ photoId: 'first' }])
    expect(useStore.getState().notices[0]).toMatchObject({
      message: 'Discarded first.jpg.',
      remedy: 'Undo brings it back.',
    })
  })

  it('a filed photo opens again with its panel, and can be filed anew', async () => {
    tray.photos = [{ ...shown.photos[0]!, id: 'first', filed: true }]
    tray.client.answer({ 'photos.listWaiting': () => ({ ids: [], sheetIds: [] }) })
    useStore.setState({ route: { at: 'tray', photoId: 'first' } })
    const host = await show(<Place />)
    await settle()
    expect(mainButton(host).textContent).toBe(`File to ${panel.code}`)
    expect(buttonSaying(host, 'Later')).toBeUndefined()
  })
})

describe('small words', () => {
  it('coats are read as they are typed', () => {
    expect(readCoats('0 1 2 3 4')).toEqual([0, 1, 2, 3, 4])
    expect(readCoats('0, 2, 4')).toEqual([0, 2, 4])
    expect(readCoats('2,5; 3')).toEqual([2.5, 3])
    expect(readCoats('four')).toBeNull()
    expect(readCoats('  ')).toBeNull()
  })
  it('facts of a photo are told with what is not known', () => {
    const facts = Object.fromEntries(
      factsOf(
        {
          ...waiting('x'),
          profileAssumed: true,
          profile: 'sRGB',
          exposure: {
            takenAt: null,
            camera: 'Phone',
            exposureS: 1 / 60,
            fNumber: 1.8,
            iso: 64,
            whiteBalance: null,
            focalLengthMm: null,
          },
        },
        { ...defaultSettings, decimal: 'comma' },
      ),
    )
    expect(facts).toMatchObject({
      Format: 'JPEG, 8 bits, 4,2 MB',
      Colours: 'sRGB, assumed: the file names no profile',
      Taken: 'not in the file',
      Exposure: '1/60 s, f/1,8, ISO 64',
      'White balance': 'not in the file',
    })
  })
})
