import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { CupLabelDialog } from '../../renderer/screens/sheet/cup-label-dialog.tsx'
import { PrintDialog } from '../../renderer/screens/sheet/print-dialog.tsx'
import { type PrintKind, useStore } from '../../renderer/state/store.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { unplaced } from '../../shared-core/label/sheet/placement.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import type { CupLabel, SheetPage } from '../../shared-core/records/sheet.ts'
import { type Answers, type FakeClient, fakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, press, settle, show, takeDown, type } from './mounting.ts'

vi.mock('../../renderer/screens/sheet/label-face.ts', () => ({ loadLabelFace: () => Promise.resolve() }))

const page = (text: string, widthMm = 62, heightMm = 29): SheetPage => ({
  size: { widthMm, heightMm },
  marks: [{ kind: 'text', xMm: 2, baselineMm: 8, sizeMm: 4, face: 'bold', text }],
})

const table: Answers = {
  'sheets.layOut': ({ wanted }) => ({
    pages: [
      page(`laid out: ${wanted.kind}`, ...(wanted.kind === 'labels' ? ([62, 29] as const) : ([210, 297] as const))),
    ],
    pageCount: 1,
    placement: unplaced,
  }),
  'sheets.drawPdf': () => ({ documentId: 'd1', pageCount: 1, fileName: 'labels.pdf' }),
  'sheets.drawIndex': () => ({ jobId: 'j1' }),
  'sheets.listKnown': () => ({ sheets: [] }),
  'settings.save': ({ settings }) => ({ settings }),
  'jobs.cancel': () => ({}),
}

let client: FakeClient
beforeEach(() => {
  // jsdom has no dialogs of its own
  HTMLDialogElement.prototype.showModal = function () {
    this.open = true
  }
  HTMLDialogElement.prototype.close = function () {
    this.open = false
  }
  client = prepare(table)
  useStore.setState({ settings: { ...defaultSettings, decimal: 'point', units: 'metric' } })
})
afterEach(takeDown)

async function open(kind: PrintKind, panelIds = ['panel-1', 'panel-2']) {
  useStore.setState({ printing: { kind, panelIds } })
  return show(<PrintDialog />)
}
const asked = () => client.askedOf('sheets.layOut').at(-1)!.wanted
const fieldOf = (host: ParentNode, label: string) =>
  [...host.querySelectorAll('label')].find((one) => one.textContent === label)?.querySelector('input')

describe('photo sheets', () => {
  it('are for the chosen panels, in the size that their panels are', async () => {
    const host = await open('photo')
    await click(buttonSaying(host, '6 × 4 in'))
    expect(asked()).toMatchObject({ kind: 'photo-sheets', panelIds: ['panel-1', 'panel-2'] })
    expect(asked()).toMatchObject({ panel: { widthMm: 6 * 25.4, heightMm: 4 * 25.4 } })
  })

  it('are offered without a panel too, where labels are not', async () => {
    const host = await open('index', [])
    expect(host.textContent).not.toContain('Sheet of labels')
    await click(buttonSaying(host, 'Photo sheets'))
    expect(asked()).toMatchObject({ kind: 'photo-sheets', panelIds: [] })
  })
})

describe('printing', () => {
  it('shows labels, prints them, and keeps what was chosen', async () => {
    const print = vi.spyOn(client, 'printLabels')
    const host = await open('label')
    expect(host.textContent).toContain('laid out: labels')
    await click(buttonSaying(host, '89 × 36 mm'))
    await type(fieldOf(host, 'Copies of each'), '3')
    await click(fieldOf(host, 'Gun'))
    await click(fieldOf(host, 'Notes'))
    const wanted = asked()
    expect(wanted).toMatchObject({
      kind: 'labels',
      panelIds: ['panel-1', 'panel-2'],
      copies: 3,
      stock: { on: 'roll', size: { widthMm: 89, heightMm: 36 } },
    })
    expect(wanted.kind === 'labels' && wanted.shows.includes('gun')).toBe(false)
    expect(wanted.kind === 'labels' && wanted.shows.includes('notes')).toBe(true)
    await click(buttonSaying(host, 'Print'))
    expect(print).toHaveBeenCalledWith(wanted)
    const kept = client.askedOf('settings.save').at(-1)!.settings.printing
    expect(kept.labelSize).toEqual({ widthMm: 89, heightMm: 36 })
    expect(kept.shows.label).not.toContain('gun')
  })

  it('begins at the label pressed, or reached by arrow keys', async () => {
    const host = await open('sheet')
    const label = (place: number) => host.querySelector<SVGElement>(`[data-place="${place}"]`)!
    await click(label(5))
    expect(asked()).toMatchObject({ stock: { on: 'grid', start: 5 } })
    expect(label(5).getAttribute('aria-checked')).toBe('true')
    expect(fieldOf(host, 'First free label')?.value).toBe('5')
    label(5).focus()
    await press('ArrowDown')
    // three columns: one row further
    expect(asked()).toMatchObject({ stock: { start: 8 } })
    await press('End')
    expect(asked()).toMatchObject({ stock: { start: 21 } })
    await press('ArrowRight')
    expect(asked()).toMatchObject({ stock: { start: 21 } })
  })

  it('says why a typed grid does not fit, and prints nothing', async () => {
    client.answer({
      'sheets.layOut': () => {
        throw new Refusal('sheet/does-not-fit', 'These labels do not fit.', 'Measure the sheet again.')
      },
    })
    const host = await open('sheet')
    const select = host.querySelector('select')!
    await act(async () => {
      select.value = 'typed'
      select.dispatchEvent(new Event('change', { bubbles: true }))
    })
    await settle()
    await type(fieldOf(host, 'Columns'), '4')
    expect(host.textContent).toContain('take 268.7 mm across, and the page is 210 mm wide.')
    expect(host.querySelector('[aria-label="First label to be printed"]')).toBeNull()
    expect(host.textContent).toContain('These labels do not fit.')
    expect(buttonSaying(host, 'Print')?.disabled).toBe(true)
  })

  it('goes from one kind to another with the same panels', async () => {
    const host = await open('label')
    await click(buttonSaying(host, 'Cards for the back'))
    expect(asked()).toMatchObject({ kind: 'cards', panelIds: ['panel-1', 'panel-2'] })
    await click(buttonSaying(host, 'Index with pictures'))
    expect(asked()).toMatchObject({ kind: 'index', panelIds: ['panel-1', 'panel-2'] })
    await click(buttonSaying(host, 'As on the wall'))
    expect(asked()).toMatchObject({ kind: 'index', panelIds: null, sort: 'code', groupByGround: true })
  })

  it('draws the index, says how far it is, and opens it', async () => {
    const opened = vi.spyOn(client, 'openDocument')
    const host = await open('index', [])
    expect(host.textContent).not.toContain('Sheet of labels')
    await click(buttonSaying(host, 'Draw the index'))
    const job = { id: 'j1', kind: 'index' as const, label: 'Drawing the index', stage: '', items: [], error: null }
    await act(async () => useStore.getState().setJob({ ...job, done: 3, total: 20, state: 'running' }))
    await settle()
    expect(host.textContent).toContain('Page 3 of 20')
    await click(buttonSaying(host, 'Stop'))
    expect(client.askedOf('jobs.cancel')).toEqual([{ jobId: 'j1' }])
    const document = { documentId: 'd9', fileName: 'index.pdf' }
    await act(async () => useStore.getState().setJob({ ...job, done: 20, total: 20, state: 'done', document }))
    await settle()
    await click(buttonSaying(host, 'Save the PDF'))
    expect(opened).toHaveBeenCalledWith('d9', 'index.pdf')
    expect(useStore.getState().seenJobs).toContain('j1')
  })

  it('keeps what was measured on the calibration page', async () => {
    const host = await open('sheet')
    await click(buttonSaying(host, 'Measure the printer'))
    expect(asked()).toMatchObject({ kind: 'calibration', printer: 'paper', corrected: false })
    await type(fieldOf(host, 'Ruler across (100)'), '99')
    await type(fieldOf(host, 'Left edge to ruler (15)'), '16')
    expect(host.textContent).toContain('It prints lengths at 99.0 % across')
    await click(buttonSaying(host, 'Keep what was measured'))
    const { calibration } = client.askedOf('settings.save').at(-1)!.settings.printing
    expect(calibration.paper.scaleXPercent).toBeCloseTo(99, 9)
    expect(calibration.paper.offsetXMm).toBeCloseTo(1.15, 9)
    expect(calibration.labels).toEqual(defaultSettings.printing.calibration.labels)
    await type(fieldOf(host, 'Ruler across (100)'), '40')
    expect(host.textContent).toContain('No printer is as far off as that.')
    expect(buttonSaying(host, 'Keep what was measured')?.disabled).toBe(true)
    await click(buttonSaying(host, 'Back to printing'))
    expect(host.textContent).toContain('its correction is applied')
  })

  it('opens a PDF where the host cannot print', async () => {
    client = prepare(
      table,
      fakeClient(table, { kind: 'browser', canPickFolder: false, canPrint: false, canOpenLogs: false }),
    )
    const host = await open('card')
    expect(buttonSaying(host, 'Open PDF to print')).toBeDefined()
    expect(buttonSaying(host, 'Save as PDF')).toBeUndefined()
  })
})

describe('a cup label', () => {
  const cup: CupLabel = {
    code: 'C-0012',
    about: 'Harbour tank',
    mixture: null,
    mixedAt: '2031-03-14T14:05:00.000Z',
    mixedBy: 'Robin',
    hardenerAt: null,
    potLifeMin: null,
    panelCode: 'P-0042',
  }

  it('takes the pot life of what hardens, on a roll or a sheet', async () => {
    const host = await show(<CupLabelDialog cup={cup} hardens onClose={() => undefined} />)
    await type(fieldOf(host, 'Pot life, minutes'), '120')
    expect(asked()).toMatchObject({ kind: 'cups', cups: [{ code: 'C-0012', potLifeMin: 120 }], stock: { on: 'roll' } })
    await click(buttonSaying(host, 'Sheet of labels'))
    expect(asked()).toMatchObject({ stock: { on: 'grid', start: 1 } })
  })

  it('asks for no pot life of what does not harden', async () => {
    const host = await show(<CupLabelDialog cup={cup} hardens={false} onClose={() => undefined} />)
    expect(fieldOf(host, 'Pot life, minutes')).toBeUndefined()
  })
})
