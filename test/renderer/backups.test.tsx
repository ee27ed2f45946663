import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { commandFor } from '../../renderer/commands/keyboard.ts'
import { BackupsPage } from '../../renderer/screens/care/backups/backups-page.tsx'
import { FromSecondPlace } from '../../renderer/screens/care/backups/from-second-place.tsx'
import { RestoreDialog } from '../../renderer/screens/care/backups/restore-dialog.tsx'
import { sayWhen } from '../../renderer/screens/care/backups/words.ts'
import { useStore } from '../../renderer/state/store.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { Backup, BackupState, RestorePreview } from '../../shared-core/records/backup.ts'
import type { Job } from '../../shared-core/records/job.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import type { Answers, FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, settle, show, takeDown, type } from './mounting.ts'
import { rackInfo } from './sample-rack.ts'

const backup = (file: string, more: Partial<Backup> = {}): Backup => ({
  file,
  madeAt: '2031-05-03T16:00:00.000Z',
  kind: 'daily',
  why: 'daily',
  byteCount: 4_800_000,
  state: 'whole',
  facts: {
    sha256: 'a'.repeat(64),
    byteCount: 4_800_000,
    version: 6,
    rackId: 'r',
    rackName: 'North wall',
    revision: 7,
    counts: { panels: 61, readings: 274, photos: 78, jobs: 3 },
    rows: {},
    why: 'daily',
    madeAt: '2031-05-03T16:00:00.000Z',
  },
  ...more,
})
const state: BackupState = {
  rackId: 'r',
  last: backup('one.sqlite'),
  changedSince: true,
  trouble: null,
  overdue: false,
  second: null,
}
const preview: RestorePreview = {
  backup: backup('one.sqlite'),
  inBackup: { panels: 61, readings: 274, photos: 78, jobs: 3 },
  inRack: { panels: 64, readings: 280, photos: 84, jobs: 3 },
  gone: {
    count: 14,
    first: [
      { code: 'P-0062', title: 'Dusk plum' },
      { code: 'P-0063', title: '' },
    ],
  },
  back: { count: 1, first: [{ code: 'P-0005', title: 'Fenwater' }] },
  different: { count: 0, first: [] },
  changesLost: 21,
  lostSince: '2031-05-03T17:00:00.000Z',
  photosToTray: 6,
  photosLeft: 1,
  photosMissing: 0,
  sameRack: true,
}
const table: Answers = {
  'backups.describe': () => state,
  'backups.list': ({ thorough }) => ({
    backups: [
      backup('one.sqlite', { state: thorough ? 'whole' : 'unproven' }),
      backup('two.sqlite', { state: thorough ? 'damaged' : 'unproven', madeAt: '2031-05-02T16:00:00.000Z' }),
    ],
  }),
  'backups.preview': () => preview,
  'backups.restore': () => ({ jobId: 'j' }),
  'backups.make': () => ({ jobId: 'j' }),
  'secondPlace.choose': () => state,
  'rack.suggestFolder': () => ({ folder: '/racks/Rack' }),
}
const told = (job: Job) => act(async () => useStore.getState().setJob(job))
let client: FakeClient
beforeEach(() => {
  client = prepare(table)
})
afterEach(takeDown)

describe('the page of backups', () => {
  it('says first what is safe, and of each backup whether it is whole', async () => {
    const host = await show(<BackupsPage />)
    await settle()
    expect(host.querySelector('[role=status]')?.textContent).toContain('61 panels, 274 readings, 78 photos.')
    expect(host.textContent).toContain('No second copy of it lies elsewhere.')
    const rows = [...host.querySelectorAll('.backups-list li')]
    expect(rows.map((row) => row.querySelector('button') !== null)).toEqual([true, false])
    expect(rows[0]?.textContent).toContain('whole, compared byte by byte')
    expect(rows[1]?.textContent).toContain('damaged since it was made')
    expect(client.askedOf('backups.list').map(({ thorough }) => thorough)).toEqual([false, true])
  })

  it('backs up by a key, and not while one is being made or the rack is only looked at', async () => {
    await show(<BackupsPage />)
    const command = commandFor('b', 'care')!
    const missing = () => command.missing(useStore.getState())
    expect(missing()).toBeNull()
    await command.run(useStore.getState())
    expect(client.askedOf('backups.make')).toEqual([{}])
    const job = { id: 'j', kind: 'backup', label: '', stage: '', done: 0, total: 0, items: [], error: null } as const
    await told({ ...job, items: [], state: 'running' })
    expect(missing()).toBe('A backup is being made.')
    await told({ ...job, items: [], state: 'done' })
    await act(async () =>
      useStore.setState({ rack: { ...rackInfo, access: { mode: 'reading', why: 'network', asOf: null } } }),
    )
    expect(missing()).toContain('only looked at')
  })

  it('asks anew once a backup was made', async () => {
    await show(<BackupsPage />)
    await settle()
    const before = client.askedOf('backups.describe').length
    useStore.getState().setJob({
      id: 'k',
      kind: 'backup',
      label: '',
      stage: '',
      done: 0,
      total: 0,
      items: [],
      error: null,
      state: 'done',
    })
    await settle()
    await settle()
    expect(client.askedOf('backups.describe')).toHaveLength(before + 1)
  })

  it('is calm where there is none yet, and says why the last attempt came to nothing', async () => {
    client.answer({
      'backups.list': () => ({ backups: [] }),
      'backups.describe': () => ({
        ...state,
        last: null,
        trouble: { code: 'rack/disk-full', message: 'The drive is full.', remedy: 'Make room.' },
      }),
    })
    const host = await show(<BackupsPage />)
    await settle()
    expect(host.textContent).toContain('There is no backup of this rack yet.')
    expect(host.querySelector('.backups-safe .warn')?.textContent).toContain('The drive is full. Make room.')
  })

  it('takes a folder as the second place, and says beside the field why one will not do', async () => {
    client.answer({
      'secondPlace.choose': () => {
        throw new Refusal('second-place/inside-rack', 'It lies in the rack.', 'Choose another.')
      },
    })
    const host = await show(<BackupsPage />)
    await settle()
    await click(buttonSaying(host, 'Keep copies there'))
    expect(host.querySelector('[role=alert]')?.textContent).toContain('No folder is named.')
    await type(host.querySelector('.backups-choose input'), '/racks/north-wall/x')
    await click(buttonSaying(host, 'Keep copies there'))
    expect(host.querySelector('[role=alert]')?.textContent).toContain('It lies in the rack.')
    expect(client.askedOf('secondPlace.choose')).toEqual([{ folder: '/racks/north-wall/x' }])
  })

  it('says of a second place what is there, what it is worth, and why it is behind', async () => {
    client.answer({
      'backups.describe': () => ({
        ...state,
        second: {
          chosen: '/disk',
          folder: '/disk/North wall second place',
          state: 'absent',
          wholeAt: '2031-05-01T10:00:00.000Z',
          photos: 78,
          byteCount: 13_000_000,
          sameDisk: true,
          trouble: { code: 'second-place/absent', message: 'It is not there now.', remedy: 'Connect its drive.' },
        },
      }),
    })
    const host = await show(<BackupsPage />)
    await settle()
    const second = host.querySelector('[aria-label="Second place"]')!
    expect(second.textContent).toContain('It is not there now. Connect its drive.')
    expect(second.textContent).toContain('It lies on the same disk as the rack.')
    // leaving it takes two presses
    await click(buttonSaying(second, 'Stop'))
    await click(buttonSaying(second, 'Stop copying there'))
    expect(client.askedOf('secondPlace.choose')).toEqual([{ folder: null }])
    expect(useStore.getState().notices[0]?.remedy).toBe('The copies that lie there stay.')
  })
})

describe('going back', () => {
  it('shows what would change before anything is done, and goes back only when asked', async () => {
    let closed = 0
    const host = await show(<RestoreDialog folder="/racks/north-wall" onClose={() => closed++} />)
    await settle()
    await settle()
    const words = host.textContent
    expect(words).toContain('14 panels would no longer hang there: P-0062 Dusk plum, P-0063 and 12 more')
    expect(words).toContain('1 panel would come back: P-0005 Fenwater')
    expect(words).toContain('21 changes would be gone')
    expect(words).toContain('6 photos that this backup does not know are put into the tray.')
    expect(client.askedOf('backups.restore')).toEqual([])
    await click([...host.querySelectorAll('button')].find((one) => one.textContent?.startsWith('Go back to')))
    expect(client.askedOf('backups.restore')).toEqual([{ folder: '/racks/north-wall', file: 'one.sqlite' }])
    expect(closed).toBe(1)
  })

  it('says what a rack that cannot be read loses, and where no whole backup lies', async () => {
    client.answer({ 'backups.preview': () => ({ ...preview, inRack: null, gone: { count: 0, first: [] } }) })
    const host = await show(<RestoreDialog folder="/racks/wrecked" onClose={() => undefined} />)
    await settle()
    await settle()
    expect(host.textContent).toContain('The present records cannot be read')
    await takeDown()
    client.answer({ 'backups.list': () => ({ backups: [backup('two.sqlite', { state: 'damaged' })] }) })
    const empty = await show(<RestoreDialog folder="/racks/wrecked" onClose={() => undefined} />)
    await settle()
    expect(empty.textContent).toContain('No whole backup lies in this rack’s folder.')
    expect(buttonSaying(empty, 'Close')).toBeDefined()
  })
})

it('says moments as a person does', () => {
  const now = new Date(2031, 4, 5, 9, 0)
  const settings = { ...defaultSettings, clock: '24' as const }
  const at = (...parts: [number, number, number, number, number]) =>
    sayWhen(new Date(...parts).toISOString(), settings, now)
  expect(at(2031, 4, 5, 7, 12)).toMatch(/^today 0?7:12$/)
  expect(at(2031, 4, 4, 23, 59)).toMatch(/^yesterday 23:59$/)
  expect(at(2031, 4, 1, 8, 0)).toMatch(/^\S+ .*1.*, 0?8:00$/)
  expect(at(2030, 4, 1, 8, 0)).toContain('2030')
})

describe('a rack from a second place', () => {
  const places = [
    { folder: '/usb/second/North wall second place', rackName: 'North wall', newest: '2031-05-03T16:00:00.000Z' },
    { folder: '/usb/second/Saltmarsh second place', rackName: 'Saltmarsh', newest: '2031-05-02T16:00:00.000Z' },
  ]
  const first = (host: HTMLElement) => host.querySelector<HTMLInputElement>('.welcome-folder input')!
  const asking = async (answers: Answers) => {
    client = prepare({ 'rack.suggestFolder': ({ name }) => ({ folder: `/racks/${name}` }), ...answers })
    useStore.setState({ rack: null })
    const host = await show(<FromSecondPlace />)
    await click(buttonSaying(host, 'Make a rack from a second place'))
    await type(first(host), '/usb/second')
    return host
  }
  const none = () => {
    throw new Refusal('backup/none-good', 'No whole backup lies in /usb/second.', 'Choose another second place.')
  }

  it('says inside the dialog why it cannot be made, and stays open', async () => {
    const host = await asking({ 'backups.restoreElsewhere': none })
    await click(buttonSaying(host, 'Make the rack'))
    expect(host.querySelector('dialog')?.textContent).toContain('No whole backup lies in /usb/second.')
  })

  it('lists several that lie in the folder, and takes the one that is chosen', async () => {
    const host = await asking({
      'backups.restoreElsewhere': ({ from }) => {
        if (from === '/usb/second') throw new Refusal('second-place/several', 'Copies of 2 racks lie in it.', 'Choose.')
        return { jobId: 'job' }
      },
      'secondPlace.find': () => ({ places }),
    })
    await click(buttonSaying(host, 'Make the rack'))
    const names = [...host.querySelectorAll('.backups-places b')].map((name) => name.textContent)
    expect(names).toEqual(['North wall', 'Saltmarsh'])
    await click(buttonSaying(host, 'Make the rack'))
    expect(client.askedOf('backups.restoreElsewhere')).toHaveLength(1)
    await click(host.querySelectorAll<HTMLInputElement>('.backups-places input')[1])
    await settle()
    await click(buttonSaying(host, 'Make the rack'))
    expect(client.askedOf('backups.restoreElsewhere').at(-1)).toEqual({
      from: places[1]!.folder,
      file: null,
      to: '/racks/Saltmarsh',
    })
    expect(host.querySelector('dialog')).toBeNull()
  })
})
