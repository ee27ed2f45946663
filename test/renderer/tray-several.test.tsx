import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { useDesk } from '../../renderer/screens/tray/desk-state.ts'
import { howRead } from '../../renderer/screens/tray/pile/how-read.ts'
import { go } from '../../renderer/state/router.ts'
import type { Chart, Quad } from '../../shared-core/records/area.ts'
import type { SheetOnPhoto } from '../../shared-core/records/photo-sheet.ts'
import type { Found } from '../../shared-core/records/proposal.ts'
import { buttonSaying, click, settle, show } from './mounting.ts'
import { lights, panel } from './sample-rack.ts'
import { cardQuad, choosePanel, clearTray, madeOf, Place, panelQuad, setTray, tray, waiting } from './tray-place.tsx'

beforeEach(setTray)
afterEach(clearTray)

const beside: Quad = [
  [450, 100],
  [650, 100],
  [650, 700],
  [450, 700],
]
const card = { quad: cardQuad, lab: { l: 50, a: 0, b: 0 } }
const two: Found = {
  panels: [
    { quad: beside, confidence: 0.9, steps: [] },
    { quad: panelQuad, confidence: 0.8, steps: [] },
    { quad: cardQuad, confidence: 0.2, steps: [] },
  ],
  cards: [{ quad: cardQuad, confidence: 0.9 }],
  chart: null,
  sheet: null,
  symbols: [],
}
const onPanel = { stepId: panel.steps[0]!.id, shape: { kind: 'quad' as const, quad: panelQuad } }
const marked = () => useDesk.getState().marks.list.map((mark) => (mark.kind === 'round' ? null : mark.quad))

describe('a photo with several panels', () => {
  it('says after filing that there is another, with a way to it', async () => {
    tray.made = {
      first: madeOf('first', {
        found: two,
        layout: { areas: [onPanel], card },
        panelId: panel.id,
        panelCode: panel.code,
        panelTitle: panel.title,
      }),
    }
    tray.client.answer({
      'photos.file': () => {
        tray.photos = tray.photos.filter(({ id }) => id !== 'first')
        return { readings: [], results: [] }
      },
    })
    const host = await show(<Place />)
    await click(buttonSaying(host, `File to ${panel.code}`))
    await settle()
    const link = [...host.querySelectorAll('.tray-filed a')].at(-1)
    expect(link?.textContent).toBe('Another panel in this picture')
    expect(link?.getAttribute('href')).toBe('/tray/first')
  })

  it('opened again it marks the next panel, with what is known beside it, and asks which one it is', async () => {
    tray.photos = [{ ...waiting('first', { areas: [onPanel], card }), filed: true }, waiting('second')]
    tray.made = { first: madeOf('first', { found: two }) }
    go({ at: 'tray', photoId: 'first' })
    const host = await show(<Place />)
    await settle()
    await click(buttonSaying(host, 'Another panel in this picture'))
    await settle()
    expect(marked()).toEqual([beside])
    expect(useDesk.getState().marks.card?.quad).toEqual(cardQuad)
    expect(useDesk.getState().panel).toBeNull()
    await choosePanel(host)
    await settle()
    await click(buttonSaying(host, `File to ${panel.code}`))
    expect(tray.client.askedOf('photos.file')[0]).toMatchObject({ photoId: 'first', panelId: panel.id })
    // and the one after the last is the first again
    await click(buttonSaying(host, 'Another panel in this picture'))
    await settle()
    expect(marked()).toEqual([panelQuad])
  })

  it('where no other was found it is marked by hand', async () => {
    tray.photos = [{ ...waiting('first', { areas: [onPanel], card }), filed: true }]
    go({ at: 'tray', photoId: 'first' })
    const host = await show(<Place />)
    await settle()
    await click(buttonSaying(host, 'Another panel in this picture'))
    await settle()
    expect(marked()).toEqual([])
    expect(useDesk.getState().tool).toBe('panel')
  })
})

const sheet: SheetOnPhoto = {
  print: { paper: { widthMm: 210, heightMm: 297 }, panel: { widthMm: 100, heightMm: 150 }, series: 31_007 },
  toPhoto: [3, 0, 10, 0, 3, 10, 0, 0, 1],
  missing: [],
}
const chart: Chart = { quad: cardQuad, table: 'avg30' }

it('by what a photo will be read is said as it stands beside the colour afterwards', () => {
  const areas = [onPanel]
  const said = (layout: Parameters<typeof howRead>[0]['layout'], setupId: string | null = null, known = [0]) =>
    howRead(
      { layout, setupId },
      known.map((series) => ({ series })),
    )
  expect(said({ areas, card })).toBe('by the grey card alone')
  expect(said({ areas, card }, 'set-up')).toBe('by the card and its set-up')
  expect(said({ areas, card, chart })).toBe('by the chart in the picture')
  expect(said({ areas, card, sheet })).toBe('by the grey card: the sheet is not known yet')
  expect(said({ areas, card: null, sheet })).toBe('not calibrated: the sheet is not known yet')
  expect(said({ areas, card, sheet }, null, [31_007])).toBe('by the photo sheet')
})

const selectOf = (host: ParentNode, name: string): HTMLSelectElement =>
  [...host.querySelectorAll('label')].find((label) => label.textContent?.startsWith(name))!.querySelector('select')!

async function choose(select: HTMLSelectElement, value: string): Promise<void> {
  await act(async () => {
    select.value = value
    select.dispatchEvent(new Event('change', { bubbles: true }))
  })
  await settle()
}

it('learning a sheet’s colours asks in which light, and takes one without a name for an answer', async () => {
  tray.photos = [waiting('first', { areas: [], card: null, chart, sheet })]
  const host = await show(<Place />)
  await settle()
  const learn = () => buttonSaying(host, 'Learn this sheet’s colours')
  expect(learn()?.getAttribute('aria-disabled')).toBe('true')
  await choose(selectOf(host, 'In which light it is learnt'), 'unnamed')
  expect(learn()?.getAttribute('aria-disabled')).not.toBe('true')
  await choose(selectOf(host, 'In which light it is learnt'), lights[0]!.id)
  expect(useDesk.getState().circumstances.lightId).toBe(lights[0]!.id)
  expect(learn()?.getAttribute('aria-disabled')).not.toBe('true')
  await act(async () => useDesk.setState((s) => ({ circumstances: { ...s.circumstances, lightId: null } })))
  expect(learn()?.getAttribute('aria-disabled')).toBe('true')
})
