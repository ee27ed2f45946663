import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { commandFor } from '../../renderer/commands/keyboard.ts'
import { HistoryPage } from '../../renderer/screens/care/history/history-page.tsx'
import { usePast } from '../../renderer/state/past.ts'
import { go, readRoute } from '../../renderer/state/router.ts'
import { useStore } from '../../renderer/state/store.ts'
import type { Output } from '../../shared-core/contract/calls.ts'
import type { HistoryEntry, PanelStood } from '../../shared-core/records/history.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import type { Answers, FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, rest, settle, show, takeDown, type } from './mounting.ts'
import { panel, readings } from './sample-rack.ts'

const named = { id: panel.id, code: panel.code, title: panel.title, where: 'rack' } as const
const entry = (id: string, more: Partial<HistoryEntry> = {}): HistoryEntry => ({
  id,
  at: '2031-05-03T12:30:00.000Z',
  who: 'Wren',
  label: `change panel ${panel.code}`,
  brief: '',
  undone: false,
  kind: 'change',
  leftBehind: false,
  undoneAt: null,
  undoneBy: null,
  panel: named,
  ...more,
})
const entries = [
  entry('newest', { brief: 'coats' }),
  entry('taken-back', { undone: true, undoneAt: '2031-05-03T13:00:00.000Z', undoneBy: 'Robin' }),
  entry('oldest', { at: '2031-05-01T09:00:00.000Z', label: `add panel ${panel.code}` }),
]
const stood = (title: string): PanelStood => ({
  panel: { ...panel, title },
  inTrash: false,
  readings: [readings[0]!],
  photos: [],
})
const past = (more: Partial<Output<'history.panelAt'>> = {}): Output<'history.panelAt'> => ({
  past: stood('Kestrel'),
  now: stood('Kestrel dusk'),
  groups: [
    {
      name: 'Panel',
      did: 'changed',
      facts: [
        { name: 'Code', before: { kind: 'text', text: panel.code }, after: { kind: 'text', text: panel.code } },
        { name: 'Title', before: { kind: 'text', text: 'Kestrel' }, after: { kind: 'text', text: 'Kestrel dusk' } },
      ],
    },
    {
      name: 'Step 1, bare',
      did: 'kept',
      facts: [{ name: 'Coats', before: { kind: 'coats', coats: 0 }, after: { kind: 'coats', coats: 0 } }],
    },
  ],
  differs: true,
  notes: ['P-0143 is the code of another panel now.'],
  hindrance: null,
  ...more,
})

const table: Answers = {
  'history.list': () => ({ entries, next: null }),
  'history.listPainters': () => ({ painters: ['Robin', 'Wren'] }),
  'history.namePanel': () => ({ panel: named, removal: null }),
  'history.findPanels': () => ({ panels: [{ ...named, where: 'trash' }] }),
  'history.describe': () => ({
    things: [
      {
        what: 'Panel',
        name: panel.code,
        did: 'changed',
        panelId: panel.id,
        groups: [
          {
            name: 'Layer 2, candy',
            did: 'changed',
            facts: [
              { name: 'Inlet', before: null, after: { kind: 'quantity', value: 110.316, measure: 'pressure' } },
              { name: 'Coats', before: { kind: 'coats', coats: 1 }, after: { kind: 'coats', coats: 2.5 } },
            ],
          },
        ],
      },
    ],
    more: 3,
  }),
  'history.panelAt': () => past(),
  'history.restorePanel': () => ({ panelId: panel.id, code: panel.code, notes: [] }),
}

let client: FakeClient
beforeEach(() => {
  client = prepare(table)
  usePast.setState({ view: 'changed', before: false, keepLater: true, entries: [] })
  useStore.setState({ settings: { ...defaultSettings, units: 'us', decimal: 'point', clock: '24' } })
  go({ at: 'care', page: 'history' })
})
afterEach(takeDown)

const press = async (key: string) => {
  const state = useStore.getState()
  const command = commandFor(key, 'care')
  if (!command || command.missing(state) !== null) throw new Error(`${key}: ${command?.missing(state)}`)
  await act(async () => {
    await command.run(state)
  })
  await settle()
}

describe('the history', () => {
  it('stands by day, says by whom, and strikes out what was taken back', async () => {
    const host = await show(<HistoryPage />)
    expect(host.querySelectorAll('.history-day')).toHaveLength(2)
    const rows = [...host.querySelectorAll('.history-entry')].map((row) => row.textContent)
    expect(rows[0]).toContain(`Changed panel ${panel.code}coats · by Wren`)
    expect(rows[1]).toMatch(/by Wren · taken back at \d\d:00 by Robin, Redo does it again/)
    expect(host.querySelectorAll('.history-entry.is-undone')).toHaveLength(1)
  })

  it('opens an entry to what was changed, in the user’s units', async () => {
    const host = await show(<HistoryPage />)
    await rest()
    const cells = [...host.querySelectorAll('.history-facts tbody tr')].map((row) =>
      [...row.querySelectorAll('th, td')].map((cell) => cell.textContent),
    )
    // 16 psi are 110.316 kPa (NIST SP 811, appendix B)
    expect(cells).toEqual([
      ['Inlet', '–', '16 psi'],
      ['Coats', '1 coat', '2.5 coats'],
    ])
    expect(host.textContent).toContain('… and 3 more.')
  })

  it('is asked for one painter’s changes', async () => {
    const host = await show(<HistoryPage />)
    const select = host.querySelector('select')
    if (!select) throw new Error('no list of painters')
    select.value = '=Robin'
    await act(async () => {
      select.dispatchEvent(new Event('change', { bubbles: true }))
    })
    await settle()
    expect(client.askedOf('history.list').at(-1)).toMatchObject({ who: 'Robin', before: null })
  })

  it('walks by arrows, and the address names the entry', async () => {
    await show(<HistoryPage />)
    await press('ArrowDown')
    expect(useStore.getState().route).toMatchObject({ changeId: 'taken-back' })
    await press('ArrowDown')
    expect(readRoute(location.pathname)).toEqual({ at: 'care', page: 'history', panelId: null, changeId: 'oldest' })
    expect(commandFor('ArrowDown', 'care')?.missing(useStore.getState())).toContain('no entry')
    await press('ArrowUp')
    expect(location.pathname).toBe('/care/history/-/taken-back')
  })
})

describe('a panel as it stood', () => {
  beforeEach(() => go({ at: 'care', page: 'history', panelId: panel.id, changeId: 'oldest' }))

  it('stands beside how it is now, what differs first and marked, and is restored', async () => {
    const host = await show(<HistoryPage />)
    await press('v')
    await rest()
    const rows = [...host.querySelectorAll('.history-facts tbody tr')]
    expect(rows.map((row) => [row.className, row.textContent])).toEqual([
      ['is-differing', 'TitleKestrelKestrel dusk'],
      ['', `Code${panel.code}the same`],
    ])
    expect(host.querySelector('.history-notes')?.textContent).toContain('P-0143 is the code of another panel now.')
    await click(buttonSaying(host, 'Show what is the same'))
    expect(host.querySelectorAll('.history-facts')).toHaveLength(2)
    await press('r')
    expect(client.askedOf('history.restorePanel')).toEqual([{ panelId: panel.id, changeId: 'oldest', keepLater: true }])
    expect(useStore.getState().notices.at(-1)).toMatchObject({
      message: `${panel.code} is restored.`,
      remedy: 'Undo takes it back.',
    })
  })

  it('says why it cannot be restored', async () => {
    client.answer({
      'history.panelAt': () => past({ hindrance: `${panel.code} was in the trash then.`, differs: false }),
    })
    const host = await show(<HistoryPage />)
    await press('v')
    await rest()
    expect(host.querySelector('.history-said')?.textContent).toBe(`${panel.code} was in the trash then.`)
    expect(commandFor('r', 'care')?.missing(useStore.getState())).toBe(`${panel.code} was in the trash then.`)
  })

  it('that stands like that now has nothing to restore', async () => {
    client.answer({ 'history.panelAt': () => past({ now: stood('Kestrel'), groups: [], differs: false, notes: [] }) })
    const host = await show(<HistoryPage />)
    await press('v')
    await rest()
    expect(host.textContent).toContain('It stands like that now: there is nothing to restore.')
  })
})

describe('a panel in the trash', () => {
  const trashed = { ...named, where: 'trash' as const }
  beforeEach(() => {
    client.answer({
      'history.namePanel': () => ({ panel: trashed, removal: 'newest' }),
      'history.list': () => ({
        entries: [entry('newest', { label: `remove panel ${panel.code}`, panel: trashed })],
        next: null,
      }),
    })
  })
  const putBackOnce = { panelId: panel.id, changeId: 'newest', before: true, keepLater: true }

  it('is put back where its history is shown, as it stood before it was removed', async () => {
    go({ at: 'care', page: 'history', panelId: panel.id })
    const host = await show(<HistoryPage />)
    await click(buttonSaying(host, `Put ${panel.code} back`))
    expect(client.askedOf('history.restorePanel')).toEqual([putBackOnce])
    expect(useStore.getState().notices.at(-1)?.message).toBe(`${panel.code} is back in the rack.`)
  })

  it('is put back at its removal in the history of the whole rack', async () => {
    go({ at: 'care', page: 'history' })
    const host = await show(<HistoryPage />)
    await settle()
    await click(buttonSaying(host, `Put ${panel.code} back`))
    expect(client.askedOf('history.restorePanel')).toEqual([putBackOnce])
  })

  it('can be looked at as it stood before an entry, and restored so', async () => {
    go({ at: 'care', page: 'history', panelId: panel.id, changeId: 'newest' })
    await show(<HistoryPage />)
    await press('g')
    await rest()
    expect(client.askedOf('history.panelAt').at(-1)).toEqual(putBackOnce)
    await press('r')
    expect(client.askedOf('history.restorePanel')).toEqual([putBackOnce])
  })
})

it('Enter in the picker takes the first match of what is written', async () => {
  go({ at: 'care', page: 'history' })
  const host = await show(<HistoryPage />)
  const field = host.querySelector<HTMLInputElement>('.history-find input')!
  await type(field, 'kest')
  await act(async () => {
    field.dispatchEvent(new KeyboardEvent('keydown', { key: 'Enter', bubbles: true, cancelable: true }))
  })
  await settle()
  expect(client.askedOf('history.findPanels').at(-1)).toEqual({ words: 'kest' })
  expect(useStore.getState().route).toMatchObject({ at: 'care', page: 'history', panelId: panel.id })
})
