import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { findMaterial } from '../../renderer/commands/shelf/find-material.ts'
import { newMaterial } from '../../renderer/commands/shelf/new-material.ts'
import { removeMaterial } from '../../renderer/commands/shelf/remove-material.ts'
import { replaceMaterial } from '../../renderer/commands/shelf/replace-material.ts'
import { ShelfPlace } from '../../renderer/screens/shelf/shelf-place.tsx'
import { useShelf } from '../../renderer/state/shelf.ts'
import { useStore } from '../../renderer/state/store.ts'
import type { Output } from '../../shared-core/contract/calls.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { type Material, namedMaterial } from '../../shared-core/records/mixture.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import { type Answers, type FakeClient, fakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, press, settle, show, takeDown, type } from './mounting.ts'
import { knows } from './plan-rack.ts'
import { listed, rackInfo } from './sample-rack.ts'

const of = (id: string, name: string, kind: Material['kind'], more: Partial<Material> = {}): Material => ({
  ...namedMaterial(id, name, kind),
  ...more,
})
const tidewater = of('tidewater', 'Tidewater', 'concentrate', {
  onHand: { amount: 90, basis: 'volume' },
  reorderAt: 100,
  densityKgPerL: 0.95,
  batch: '23-399',
})
const juniper = of('juniper', 'Juniper', 'concentrate', { dataSheet: 'binder 3' })
const hardener = of('hardener', 'Tern hardener', 'hardener', { onHand: { amount: 1200, basis: 'mass' } })
const flake = of('flake', 'Stardrift flake', 'flake')

const nowhere: Output<'shelf.history'> = { moves: [], panels: [], cups: [], jobs: [], replacements: [] }
let shelf: Material[]
let history: Output<'shelf.history'>
let client: FakeClient

/** A shelf in memory, as the contract words it. */
const table: Answers = {
  'materials.list': () => ({ materials: shelf }),
  'film.describe': () => ({ knows }),
  'panels.list': ({ filter }) => listed(filter),
  'shelf.history': () => history,
  'shelf.save': ({ material: { id, ...said } }) => {
    if (shelf.some((each) => each.id !== id && each.name.toLowerCase() === said.name.toLowerCase()))
      throw new Refusal('material/name-taken', 'The shelf has one called that already.', 'Give it another name.')
    const old = shelf.find((each) => each.id === id) ?? namedMaterial('new', said.name, said.kind)
    return changed({ ...old, ...said })
  },
  'shelf.count': ({ materialId, onHand }) => changed({ ...shelf.find(({ id }) => id === materialId)!, onHand }),
  'shelf.remove': ({ materialId }) => {
    shelf = shelf.filter(({ id }) => id !== materialId)
    return {}
  },
  'shelf.previewReplace': () => ({
    panels: [{ panelId: 'p', code: 'P-0077', title: 'Between the two' }],
    jobs: [],
    sprayedPanelCount: 12,
  }),
  'shelf.replace': ({ materialId, byMaterialId }) => ({
    replacement: {
      id: 'r',
      at: '2031-05-01T08:00:00Z',
      who: '',
      materialId,
      byMaterialId,
      panelIds: ['p'],
      customerJobIds: [],
    },
  }),
  'shelf.attachDataSheet': ({ materialId }) =>
    changed({
      ...shelf.find(({ id }) => id === materialId)!,
      dataSheetFile: { sha256: 'a'.repeat(64), name: 'Tidewater.pdf' },
    }),
  'shelf.openDataSheet': () => ({ documentId: 'd1', fileName: 'Tidewater.pdf' }),
}

function changed(material: Material): { material: Material } {
  shelf = [...shelf.filter(({ id }) => id !== material.id), material]
  const { rack } = useStore.getState()
  if (rack) useStore.setState({ rack: { ...rack, revision: rack.revision + 1 } })
  return { material }
}

function open(materialId: string | null, kind: 'window' | 'browser' = 'window') {
  client = fakeClient(table, { kind, canPickFolder: false, canPrint: false, canOpenLogs: false })
  prepare({}, client)
  useStore.setState({
    rack: rackInfo,
    settings: { ...defaultSettings, decimal: 'point', units: 'metric' },
    route: { at: 'shelf', materialId },
  })
}
const place = (materialId: string | null) => show(<ShelfPlace materialId={materialId} />)
const field = (host: ParentNode, label: string): HTMLInputElement => {
  const words = [...host.querySelectorAll('label')].find((one) => one.textContent?.trim() === label)
  const found = words?.htmlFor ? host.querySelector(`#${CSS.escape(words.htmlFor)}`) : words?.querySelector('input')
  if (!(found instanceof HTMLInputElement)) throw new Error(`no field ${label}`)
  return found
}

beforeEach(() => {
  HTMLDialogElement.prototype.showModal = function () {
    this.open = true
  }
  HTMLDialogElement.prototype.close = function () {
    this.open = false
  }
  sessionStorage.clear()
  shelf = [tidewater, juniper, hardener, flake]
  history = nowhere
  useShelf.setState({
    view: 'materials',
    words: '',
    sort: 'name',
    toBuyOnly: false,
    drafts: {},
    adding: false,
    replacing: null,
  })
})
afterEach(takeDown)

describe('the whole shelf', () => {
  it('says what to do when there is nothing on it', async () => {
    shelf = []
    open(null)
    const host = await place(null)
    expect(host.querySelector('h1')?.textContent).toBe('Nothing on the shelf yet')
    expect(buttonSaying(host, 'New material')).toBeDefined()
  })

  it('hangs materials by kind, with what is on hand and what is to be bought again, in words', async () => {
    open(null)
    const host = await place(null)
    expect(
      [...host.querySelectorAll('.shelf-rail')].map((rail) => rail.querySelector('th')?.firstChild?.textContent),
    ).toEqual(['Concentrates', 'Hardeners', 'Flakes'])
    const row = (name: string) =>
      [...host.querySelectorAll('.shelf-row')].find((each) => each.textContent?.includes(name))?.textContent
    expect(row('Tidewater')).toContain('90 mLBuy again, below 100 mL')
    expect(row('Juniper')).toContain('Not counted')
    expect(row('Juniper')).toContain('binder 3')
    expect(row('Tern hardener')).toContain('1.2 kg')
  })

  it('shows US units to who works in them', async () => {
    open(null)
    useStore.setState({ settings: { ...defaultSettings, decimal: 'point', units: 'us' } })
    const host = await place(null)
    // NIST Handbook 44: 90 mL are 3.043 fl oz, 1200 g are 2.646 lb
    expect(host.textContent).toContain('3.04 fl oz')
    expect(host.textContent).toContain('2.646 lb')
    expect(host.textContent).toContain('Cost by the quart')
  })

  it('is narrowed by words and walked with arrow keys', async () => {
    open(null)
    const host = await place(null)
    const links = () => [...host.querySelectorAll<HTMLElement>('[data-row]')]
    links()[0]?.focus()
    await press('ArrowDown')
    expect(document.activeElement).toBe(links()[1])
    await press('ArrowUp')
    await press('ArrowUp')
    expect(document.activeElement).toBe(links()[0])
    void findMaterial.run(useStore.getState())
    expect(document.activeElement?.id).toBe('shelf-find')
    await type(host.querySelector('#shelf-find'), '23-399')
    expect(links()).toHaveLength(1)
    await type(host.querySelector('#shelf-find'), 'nothing like it')
    await click(buttonSaying(host, 'Show everything'))
    expect(links()).toHaveLength(4)
    await click(links()[1])
    expect(location.pathname).toBe('/shelf/tidewater')
  })

  it('takes a new material whose name gives its kind away, and counts it', async () => {
    open(null)
    const host = await place(null)
    await act(async () => void newMaterial.run(useStore.getState()))
    await settle()
    await click(buttonSaying(host, 'Put it on the shelf'))
    expect(host.querySelector('[role=alert]')?.textContent).toContain('It has no name yet.')
    await type(field(host, 'Name'), 'juniper')
    await click(buttonSaying(host, 'Put it on the shelf'))
    expect(host.querySelector('[role=alert]')?.textContent).toContain('called that already')
    await type(field(host, 'Name'), 'Slow reducer')
    await type(field(host, 'On hand, if you have counted it'), '2.1 lb')
    await click(buttonSaying(host, 'Put it on the shelf'))
    expect(client.askedOf('shelf.save').at(-1)?.material).toMatchObject({
      id: null,
      name: 'Slow reducer',
      kind: 'reducer',
    })
    expect(client.askedOf('shelf.count')[0]?.onHand?.basis).toBe('mass')
    expect(client.askedOf('shelf.count')[0]?.onHand?.amount).toBeCloseTo(2.1 * 453.59237, 9)
    expect(location.pathname).toBe('/shelf/new')
  })

  it('lists what can still be mixed, and what is missing for the rest', async () => {
    const formula = {
      panelId: 'p1',
      code: 'P-0001',
      title: 'Teal',
      volumeMl: 408,
      limitedBy: 'Carrier',
      missing: [],
      notCounted: ['Juniper'],
    }
    open(null)
    client.answer({
      'shelf.listMixable': () => ({
        formulas: [
          formula,
          { ...formula, panelId: 'p2', code: 'P-0002', volumeMl: 0, limitedBy: 'Ember', missing: ['Ember'] },
          { ...formula, panelId: 'p3', code: 'P-0003', volumeMl: null, limitedBy: null },
        ],
      }),
    })
    const host = await place(null)
    await click(buttonSaying(host, 'What can still be mixed'))
    const groups = [...host.querySelectorAll('.shelf-mixable')].map((group) => group.textContent)
    expect(groups[0]).toContain('P-0001 Teal408 mLuntil Carrier is used upNot counted: Juniper')
    expect(groups[1]).toMatch(/^Nothing in it was counted.*P-0003/)
    expect(groups[2]).toContain('Missing: Ember')
    expect(host.querySelector('a[href="/mix/panel/P-0001"]')).not.toBeNull()
    expect(host.querySelector('a[href="/mix/panel/P-0002"]')).toBeNull()
  })
})

describe('one material', () => {
  const says = (host: ParentNode) => host.querySelector('#shelf-amount-says')?.textContent

  it('says what there will be before it is counted, bought or thrown away', async () => {
    open('tidewater')
    const host = await place('tidewater')
    const amount = host.querySelector('#shelf-amount')
    await type(amount, '350 ml')
    expect(says(host)).toBe('Then 350 mL.')
    await click(buttonSaying(host, 'Bought'))
    expect(says(host)).toBe('Then 440 mL.')
    // by hand: 95 g at 0.95 g/mL are 100 mL
    await type(amount, '95 g')
    expect(says(host)).toBe('Then 190 mL.')
    await click(buttonSaying(host, 'Thrown away'))
    expect(says(host)).toContain('More than the shelf had, which was 90 mL: it ends at 0.')
    await type(amount, '90')
    expect(says(host)).toBe('Then it is used up, and off the shelf.')
    await type(amount, 'lots')
    expect(says(host)).toContain('does not start with a number')
    await click(buttonSaying(host, 'Take off'))
    expect(client.askedOf('shelf.count')).toHaveLength(0)
    await type(amount, '40 ml')
    await click(buttonSaying(host, 'Take 40 mL off'))
    expect(client.askedOf('shelf.count')[0]).toMatchObject({
      how: 'thrown-away',
      onHand: { amount: 40, basis: 'volume' },
    })
  })

  it('keeps what was typed only when told to, understands any unit, and asks again about what it does not understand', async () => {
    open('tidewater')
    const host = await place('tidewater')
    await type(field(host, 'Density at 20 °C'), '8 lb/gal')
    await type(field(host, 'Buy again below'), 'a bit')
    expect(host.textContent).toContain('2 changes are not kept yet.')
    await click(buttonSaying(host, 'Keep them'))
    expect(client.askedOf('shelf.save')).toHaveLength(0)
    expect(host.querySelector('[role=alert]')?.textContent).toContain('“a bit” does not start with a number.')
    // the way back to the material finds it as it was typed
    await takeDown()
    const again = await place('tidewater')
    expect(field(again, 'Buy again below').value).toBe('a bit')
    await type(field(again, 'Buy again below'), '0.2 lb')
    await click(buttonSaying(again, 'Keep them'))
    const { material } = client.askedOf('shelf.save')[0]!
    // NIST Handbook 44 and SP 811: 8 lb/gal are 0.958611… kg/L, and 0.2 lb of it 94.635… mL (a fortieth of a gallon)
    expect(material.densityKgPerL).toBeCloseTo((8 * 0.45359237) / 3.785411784, 12)
    expect(material.reorderAt).toBeCloseTo(3785.411784 / 40, 9)
    expect(material).toMatchObject({ name: 'Tidewater', batch: '23-399', potLifeMin: null })
    expect(again.textContent).not.toContain('kept yet')
  })

  it('says beside the name that another has it', async () => {
    open('tidewater')
    const host = await place('tidewater')
    await type(field(host, 'Name'), 'Juniper')
    await click(buttonSaying(host, 'Keep it'))
    expect(host.querySelector('[role=alert]')?.textContent).toContain('called that already')
    await click(buttonSaying(host, 'Drop it'))
    expect(field(host, 'Name').value).toBe('Tidewater')
    expect(host.querySelector('[role=alert]')).toBeNull()
  })

  it('asks of isocyanates where something hardens, deferring to the safety data sheet, and of grain where it is dry', async () => {
    open('hardener')
    const host = await place('hardener')
    expect(host.textContent).toContain('Until somebody has looked, a hardener counts as containing isocyanates.')
    await click(buttonSaying(host, 'Free of them'))
    expect(host.textContent).toContain('Only for what its safety data sheet says in so many words.')
    await type(field(host, 'Pot life once it is in the cup'), '1 h 30 min')
    await click(buttonSaying(host, 'Keep them'))
    expect(client.askedOf('shelf.save')[0]?.material).toMatchObject({ isocyanate: false, potLifeMin: 90 })
    await takeDown()
    const dry = await place('flake')
    expect(buttonSaying(dry, 'Free of them')).toBeUndefined()
    expect(field(dry, 'Size of its grain')).toBeDefined()
    expect(dry.querySelector<HTMLInputElement>('#shelf-amount')?.placeholder).toBe('40 g')
  })

  it('cannot be removed while something needs it, and says what', async () => {
    history = { ...nowhere, panels: [{ panelId: 'p', code: 'P-0031', title: 'Slack Water' }] }
    open('tidewater')
    const host = await place('tidewater')
    expect(buttonSaying(host, 'Remove it')?.getAttribute('aria-disabled')).toBe('true')
    expect(host.textContent).toContain('It cannot be removed: P-0031 needs it. Take it off the shelf instead')
    expect(host.querySelector('a[href="/panel/P-0031"]')).not.toBeNull()
    await click(buttonSaying(host, 'Remove it'))
    expect(client.askedOf('shelf.remove')).toHaveLength(0)
  })

  it('is removed when nothing needs it, back to the shelf', async () => {
    open('tidewater')
    await place('tidewater')
    await act(async () => removeMaterial.run(useStore.getState()))
    expect(client.askedOf('shelf.remove')).toEqual([{ materialId: 'tidewater' }])
    expect(location.pathname).toBe('/shelf')
  })

  it('gives its place to another of its kind, after saying where', async () => {
    open('tidewater')
    const host = await place('tidewater')
    await act(async () => void replaceMaterial.run(useStore.getState()))
    await settle()
    const dialog = host.querySelector('dialog')!
    expect(dialog.textContent).toContain('1planned panel changes: P-0077')
    expect(dialog.textContent).toContain('12sprayed panels stay as written down')
    const select = dialog.querySelector('select')!
    expect([...select.options].map(({ text }) => text)).toEqual(['choose it', 'Juniper'])
    await click(buttonSaying(dialog, 'Put it in its place'))
    expect(client.askedOf('shelf.replace')).toHaveLength(0)
    await act(async () => {
      select.value = 'juniper'
      select.dispatchEvent(new Event('change', { bubbles: true }))
    })
    await act(async () => dialog.querySelector('form')!.requestSubmit())
    await settle()
    expect(client.askedOf('shelf.replace')).toEqual([{ materialId: 'tidewater', byMaterialId: 'juniper' }])
  })

  it('keeps a data sheet that is dropped on it, and shows it in a reader', async () => {
    open('tidewater')
    const host = await place('tidewater')
    const drop = new Event('drop', { bubbles: true, cancelable: true })
    const files = [new File(['%PDF-1.7'], 'Tidewater.pdf')]
    Object.assign(drop, { dataTransfer: { types: ['Files'], files } })
    await act(async () => void host.querySelector('.material-sheet')!.dispatchEvent(drop))
    await settle()
    expect(client.askedOf('shelf.attachDataSheet')).toEqual([
      { materialId: 'tidewater', path: '/staged/Tidewater.pdf' },
    ])
    const shown = vi.spyOn(client, 'viewDocument')
    await settle()
    await click(buttonSaying(host, 'Open it'))
    expect(shown).toHaveBeenCalledWith('d1')
  })

  it('opens a web link outside, and nothing else', async () => {
    shelf = [
      { ...tidewater, dataSheet: 'https://sheets.example/t' },
      { ...juniper, dataSheet: 'javascript:alert(1)' },
    ]
    open('tidewater', 'browser')
    const host = await place('tidewater')
    const link = host.querySelector<HTMLAnchorElement>('.material-sheet a')!
    expect([link.target, link.rel, link.textContent]).toEqual([
      '_blank',
      'noreferrer noopener',
      'Open it at sheets.example',
    ])
    await takeDown()
    open('tidewater', 'window')
    const windowed = await place('tidewater')
    const opened = vi.spyOn(client, 'openLink')
    await click(windowed.querySelector('.material-sheet a'))
    expect(opened).toHaveBeenCalledWith('https://sheets.example/t')
    await takeDown()
    expect((await place('juniper')).querySelector('.material-sheet a')).toBeNull()
  })
})
