import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { useDesk } from '../../renderer/screens/tray/desk-state.ts'
import { useStore } from '../../renderer/state/store.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { Chart } from '../../shared-core/records/area.ts'
import type { Photo } from '../../shared-core/records/photo.ts'
import { buttonSaying, click, settle, show, type } from './mounting.ts'
import { lights, rackInfo } from './sample-rack.ts'
import { cardQuad, clearTray, Place, proposed, setTray, setupOf, tray, waitForReading, waiting } from './tray-place.tsx'

beforeEach(setTray)
afterEach(clearTray)

const chart: Chart = { quad: cardQuad, table: 'avg30' }
const byPhone = (id: string, layout = proposed): Photo => {
  const photo = waiting(id, layout)
  return { ...photo, exposure: { ...photo.exposure, camera: 'Phone' } }
}
const unmarked = { areas: [], card: null }
const selectOf = (host: ParentNode, label: string) =>
  [...host.querySelectorAll('label')].find((one) => one.textContent?.startsWith(label))!.querySelector('select')!
async function choose(select: HTMLSelectElement, value: string) {
  await act(async () => {
    select.value = value
    select.dispatchEvent(new Event('change', { bubbles: true }))
  })
  await settle()
}
const circumstances = () => useDesk.getState().circumstances

describe('the set-up of a photo', () => {
  it('is not asked for while none is calibrated: it is said how one comes to be', async () => {
    tray.photos = [byPhone('first')]
    const host = await show(<Place />)
    expect(host.querySelector('.tray-circumstances')?.textContent).toContain(
      'One photo with the 24-patch chart does it, once for each phone and light.',
    )
  })

  it('is proposed with a word why, and read with', async () => {
    tray.photos = [byPhone('first', unmarked)]
    tray.proposals = { first: proposed }
    tray.setups = [setupOf('bench'), setupOf('other', { camera: 'Old phone' })]
    tray.proposedSetupId = 'bench'
    const host = await show(<Place />)
    await waitForReading()
    expect(selectOf(host, 'Set-up').value).toBe('bench')
    expect(host.querySelector('.tray-setup')?.textContent).toContain('Proposed: calibrated last for this camera.')
    expect(tray.client.askedOf('photos.read').at(-1)).toMatchObject({ setupId: 'bench', flatPhotoId: null })
  })

  it('proposed, follows the light; chosen by hand, stays', async () => {
    tray.photos = [byPhone('first', unmarked)]
    tray.setups = [setupOf('sunny', { lightId: 'sun' }), setupOf('booth', { lightId: 'tubes' })]
    tray.proposedSetupId = 'sunny'
    const host = await show(<Place />)
    await choose(selectOf(host, 'Light'), 'tubes')
    expect(circumstances()).toMatchObject({ lightId: 'tubes', setupId: 'booth' })
    await choose(selectOf(host, 'Set-up'), 'sunny')
    await choose(selectOf(host, 'Light'), 'sun')
    await choose(selectOf(host, 'Light'), 'tubes')
    expect(circumstances().setupId).toBe('sunny')
    expect(host.querySelector('.tray-setup .warn')?.textContent).toBe(
      '“sunny” was calibrated in another light, sun. Choose the set-up of this light, or none.',
    )
  })

  it('chosen by hand, says the light where nobody has', async () => {
    tray.photos = [byPhone('first')]
    tray.setups = [setupOf('booth', { lightId: 'tubes' })]
    const host = await show(<Place />)
    await choose(selectOf(host, 'Set-up'), 'booth')
    expect(circumstances()).toMatchObject({ setupId: 'booth', lightId: 'tubes' })
    await click(buttonSaying(host, 'Later'))
    expect(tray.client.askedOf('photos.mark')[0]).toMatchObject({ setupId: 'booth', lightId: 'tubes' })
  })

  it('of another camera is warned about', async () => {
    tray.photos = [byPhone('first')]
    tray.setups = [setupOf('old', { camera: 'Old phone' })]
    const host = await show(<Place />)
    await choose(selectOf(host, 'Set-up'), 'old')
    expect(host.querySelector('.tray-setup .warn')?.textContent).toContain('belongs to another camera, Old phone')
  })

  it('calibrated after a photo was first looked at is proposed for it, unless somebody has begun', async () => {
    tray.photos = [byPhone('first', unmarked), byPhone('second', unmarked)]
    const host = await show(<Place />)
    tray.setups = [setupOf('bench')]
    tray.proposedSetupId = 'bench'
    tray.proposals = { first: proposed, second: proposed }
    await act(async () => useStore.setState({ rack: { ...rackInfo, revision: rackInfo.revision + 1 } }))
    await settle()
    expect(circumstances().setupId).toBe('bench')
    expect(useDesk.getState().proposal).toBe(true)
    await click(buttonSaying(host, 'Mark it anew'))
    tray.proposedSetupId = null
    await act(async () => useStore.setState({ rack: { ...rackInfo, revision: rackInfo.revision + 2 } }))
    await settle()
    expect(useDesk.getState().marks.list).toEqual([])
    expect(circumstances().setupId).toBe('bench')
  })

  it('that was marked without one gets none', async () => {
    tray.photos = [byPhone('first')]
    tray.setups = [setupOf('bench')]
    tray.proposedSetupId = 'bench'
    const host = await show(<Place />)
    expect(selectOf(host, 'Set-up').value).toBe('')
  })

  it('that was removed meanwhile is let go', async () => {
    tray.photos = [{ ...byPhone('first'), setupId: 'gone' }]
    tray.setups = [setupOf('bench')]
    await show(<Place />)
    expect(circumstances().setupId).toBeNull()
  })
})

describe('a set-up that the service does not know any more', () => {
  it('is let go, and the photo is read without it', async () => {
    tray.photos = [byPhone('first')]
    tray.setups = [setupOf('bench')]
    const answer = tray.read
    tray.client.answer({
      'photos.read': (input) => {
        if (input.setupId !== null) throw new Refusal('setup/absent', 'This set-up is not there.', 'Choose another.')
        return answer(input)
      },
    })
    const host = await show(<Place />)
    await choose(selectOf(host, 'Set-up'), 'bench')
    await waitForReading()
    await waitForReading()
    expect(circumstances().setupId).toBeNull()
    expect(tray.client.askedOf('photos.read').map(({ setupId }) => setupId)).toEqual(['bench', null])
  })
})

describe('“Keep as set-up…”', () => {
  const withChart = () => byPhone('first', { ...proposed, chart })
  const form = (host: ParentNode) => host.querySelector<HTMLElement>('.tray-keep')!

  async function open(): Promise<HTMLElement> {
    const host = await show(<Place />)
    await click([...host.querySelectorAll('.tray-known li button')].at(-1))
    await click(buttonSaying(host, 'Keep as set-up…'))
    return host
  }

  it('calibrates by name and light, says how good it is, and takes the set-up for this photo', async () => {
    tray.photos = [withChart()]
    tray.client.answer({
      'setups.calibrate': ({ name, lightId }) => ({
        setup: setupOf('new', { name, lightId }),
        cautions: [{ code: 'setup/uneven', message: 'Light falls off.', remedy: 'Evener light.', weight: 'warning' }],
      }),
    })
    const host = await open()
    const dialog = form(host)
    expect(dialog.querySelector('input')?.value).toBe('Phone')
    await choose(dialog.querySelector('select')!, 'tubes')
    expect(dialog.querySelector('input')?.value).toBe(`Phone, ${lights[0]!.name}`)
    await type(dialog.querySelector('input'), 'Bench phone')
    await act(async () => dialog.querySelector('form')!.requestSubmit())
    await settle()
    expect(tray.client.askedOf('setups.calibrate')[0]).toMatchObject({
      photoId: 'first',
      setupId: null,
      name: 'Bench phone',
      lightId: 'tubes',
      layout: { chart, card: { quad: cardQuad } },
    })
    const said = form(host).textContent
    expect(said).toContain('Good: half of the patches that it had not seen were off by less than 1.2, nine of ten')
    expect(said).toContain('Later photos of Phone in this light need only the grey card')
    expect(said).toContain('Light falls off. Evener light.')
    expect(circumstances()).toMatchObject({ setupId: 'new', lightId: 'tubes' })
    await click(buttonSaying(host, 'Go on'))
    expect(host.querySelector('.tray-keep')).toBeNull()
  })

  it('a weak one says to photograph the chart again', async () => {
    tray.photos = [withChart()]
    const weak = setupOf('new')
    tray.client.answer({
      'setups.calibrate': () => ({
        setup: { ...weak, fit: { ...weak.fit, residual: { median: 4.1, p90: 9, patches: 24 } } },
        cautions: [],
      }),
    })
    const host = await open()
    await act(async () => form(host).querySelector('form')!.requestSubmit())
    await settle()
    expect(form(host).textContent).toContain('Weak: half of the patches')
    expect(form(host).textContent).toContain('Photograph the chart again if you can')
  })

  it('calibrates one again', async () => {
    tray.photos = [withChart()]
    tray.setups = [setupOf('bench', { name: 'Bench phone', lightId: 'sun' })]
    tray.client.answer({ 'setups.calibrate': () => ({ setup: tray.setups[0]!, cautions: [] }) })
    const host = await open()
    await choose(selectOf(form(host), 'What it calibrates'), 'bench')
    await act(async () => form(host).querySelector('form')!.requestSubmit())
    await settle()
    expect(tray.client.askedOf('setups.calibrate')[0]).toMatchObject({
      setupId: 'bench',
      name: 'Bench phone',
      lightId: 'sun',
    })
  })

  it('tells why the chart could not be read, in the sheet itself', async () => {
    tray.photos = [withChart()]
    tray.client.answer({
      'setups.calibrate': () => {
        throw new Refusal('setup/chart-unreadable', 'The chart cannot be read.', 'Turn its outline.')
      },
    })
    const host = await open()
    await act(async () => form(host).querySelector('form')!.requestSubmit())
    await settle()
    expect(form(host).querySelector('[role=alert]')?.textContent).toBe('The chart cannot be read. Turn its outline.')
    expect(circumstances().setupId).toBeNull()
  })
})

describe('the blank sheet', () => {
  it('is another photo, read with and kept; the pile says what it is', async () => {
    tray.photos = [
      byPhone('first'),
      { ...waiting('second'), width: 800 },
      waiting('third'),
      waiting('carded', proposed),
    ]
    tray.client.answer({
      'photos.mark': ({ photoId, layout, flatPhotoId }) => {
        tray.photos = tray.photos.map((photo) => (photo.id === photoId ? { ...photo, layout, flatPhotoId } : photo))
        return { photo: tray.photos[0]! }
      },
    })
    const host = await show(<Place />)
    const select = selectOf(host, 'Photo of the blank sheet')
    expect([...select.options].map((option) => option.textContent)).toEqual([
      'none',
      'second.jpg, another size',
      'third.jpg',
    ])
    await choose(select, 'third')
    await waitForReading()
    expect(tray.client.askedOf('photos.read').at(-1)?.flatPhotoId).toBe('third')
    expect(host.querySelector('.tray-sheet summary')?.textContent).toBe('Light’s fall-off: by third.jpg')
    await choose(select, 'second')
    expect(host.querySelector('.tray-sheet')?.textContent).toContain('It has another size')
    await click(buttonSaying(host, 'Later'))
    expect(tray.client.askedOf('photos.mark')[0]).toMatchObject({ photoId: 'first', flatPhotoId: 'second' })
  })

  it('is named in the pile', async () => {
    tray.photos = [{ ...byPhone('first'), flatPhotoId: 'third' }, waiting('second'), waiting('third')]
    const host = await show(<Place />)
    const states = [...host.querySelectorAll('.tray-pile li .fine')].map((state) => state.textContent)
    expect(states).toEqual(['marked', 'not marked yet', 'blank sheet'])
  })
})
