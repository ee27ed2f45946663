import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { useDesk } from '../../renderer/screens/tray/desk-state.ts'
import { useStore } from '../../renderer/state/store.ts'
import type { Layout } from '../../shared-core/records/area.ts'
import { buttonSaying, click, press, settle, show } from './mounting.ts'
import { panel } from './sample-rack.ts'
import { cardQuad, clearTray, madeOf, Place, panelQuad, setTray, stage, tray } from './tray-place.tsx'

beforeEach(setTray)
afterEach(clearTray)

const layout: Layout = {
  areas: [{ stepId: panel.steps[0]!.id, shape: { kind: 'quad', quad: panelQuad } }],
  card: { quad: cardQuad, lab: { l: 50, a: 0, b: 0 } },
}
const sure = madeOf('first', { layout, panelId: panel.id, panelCode: panel.code, panelTitle: panel.title })
const unsaid = {
  ...sure,
  panelId: null,
  panelCode: null,
  panelTitle: null,
  doubts: [{ code: 'panel/withdrawn', message: 'You took back which panel it shows.', remedy: 'Choose it.' }],
}

/** As the service does: what was said is in the next answer, and whoever shows it is told. */
function answerSaid() {
  tray.client.answer({
    'proposals.say': ({ withdrawn }) => {
      if (withdrawn !== undefined) tray.made = { first: withdrawn ? unsaid : sure }
      return { proposal: tray.made['first'] ?? sure }
    },
  })
}
const said = () => tray.client.askedOf('proposals.say')
async function toldAnew() {
  await act(async () => useStore.setState((s) => ({ looked: s.looked + 1 })))
  await settle()
  await settle()
}

describe('what the painter says against a proposal reaches the service', () => {
  it('the panel that is taken off; Escape brings it back there too', async () => {
    tray.made = { first: sure }
    answerSaid()
    const host = await show(<Place />)
    await act(async () => stage(host).focus())
    await press('/')
    await toldAnew()
    expect(said()).toEqual([{ photoId: 'first', withdrawn: true }])
    expect(useDesk.getState()).toMatchObject({ panel: null, panelBefore: { id: panel.id } })
    expect(document.activeElement).toBe(host.querySelector('.tray-find input'))
    await press('Escape')
    await toldAnew()
    expect(said().at(-1)).toEqual({ photoId: 'first', withdrawn: false })
    expect(useDesk.getState().panel?.id).toBe(panel.id)
  })

  it('marks that are declined', async () => {
    tray.made = { first: sure }
    answerSaid()
    const host = await show(<Place />)
    await click(buttonSaying(host, 'Mark it anew'))
    await toldAnew()
    expect(said()).toEqual([{ photoId: 'first', declined: true }])
    expect(useDesk.getState().marks.list).toEqual([])
  })

  it('that it is meant as a reference, or a panel after all', async () => {
    tray.made = { first: sure }
    answerSaid()
    const host = await show(<Place />)
    await click(buttonSaying(host, 'A reference to match'))
    await toldAnew()
    expect(useDesk.getState().aim).toBe('reference')
    await click(buttonSaying(host, 'A panel'))
    await toldAnew()
    expect(said()).toEqual([
      { photoId: 'first', reference: true },
      { photoId: 'first', reference: false },
    ])
  })
})
