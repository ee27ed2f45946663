import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { App } from '../../renderer/app.tsx'
import { Boundary } from '../../renderer/frame/boundary.tsx'
import { GaveUp } from '../../renderer/frame/broken.tsx'
import { NewJobDialog } from '../../renderer/screens/jobs/list/new-job-dialog.tsx'
import { NoticesDialog } from '../../renderer/screens/settings/notices-dialog.tsx'
import { NewMaterialDialog } from '../../renderer/screens/shelf/list/new-material-dialog.tsx'
import { useJobDialogs } from '../../renderer/state/job-dialogs.ts'
import { forgetReports, hearFaults, report } from '../../renderer/state/report.ts'
import { startState } from '../../renderer/state/start.ts'
import { useStore } from '../../renderer/state/store.ts'
import { useTrouble } from '../../renderer/state/trouble.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import type { Answers, FakeClient } from './fake-client.ts'
import { buttonSaying, click, prepare, settle, show, takeDown, type } from './mounting.ts'

const table: Answers = {
  'app.reportError': () => ({ reference: 'ab12cd34' }),
  'rack.close': () => ({}),
  'rack.describe': () => ({ rack: null }),
  'rack.listRecent': () => ({ racks: [] }),
  'rack.suggestFolder': () => ({ folder: '/racks/new' }),
  'settings.get': () => ({ settings: defaultSettings }),
  'jobs.list': () => ({ jobs: [] }),
  'references.list': () => ({ references: [] }),
}
let client: FakeClient
beforeEach(() => {
  sessionStorage.clear()
  forgetReports()
  client = prepare(table)
  // React says in the console what a boundary caught
  vi.spyOn(console, 'error').mockImplementation(() => undefined)
})
afterEach(async () => {
  await takeDown()
  useTrouble.setState({ gaveUp: null })
  useJobDialogs.setState({ beginning: false })
  vi.restoreAllMocks()
})

let broken = true
function Fragile() {
  if (broken) throw new TypeError('Cannot read properties of undefined')
  return <p>drawn</p>
}

describe('a place that cannot be drawn', () => {
  beforeEach(() => {
    broken = true
  })

  it('is replaced by what happened, what is safe and what to do, and is told to the log', async () => {
    const host = await show(
      <Boundary of="place" now="/shelf">
        <Fragile />
      </Boundary>,
    )
    for (const words of ['What happened', 'What is safe', 'What to do', 'ab12cd34'])
      expect(host.textContent).toContain(words)
    const [sent] = client.askedOf('app.reportError')
    expect(sent).toMatchObject({ kind: 'drawing', place: 'rack', name: 'TypeError' })
    expect(sent?.stack).toContain('Fragile')
  })

  it('is drawn again by “Go on”, or by going elsewhere', async () => {
    function Place() {
      const at = useStore((s) => s.route.at)
      return (
        <Boundary of="place" now={at}>
          <Fragile />
        </Boundary>
      )
    }
    const host = await show(<Place />)
    await click(buttonSaying(host, 'Go on'))
    expect(host.textContent).toContain('What happened')
    broken = false
    await click(buttonSaying(host, 'Go on'))
    expect(host.textContent).toBe('drawn')
    broken = true
    await takeDown()
    const again = await show(<Place />)
    broken = false
    useStore.getState().setRoute({ at: 'shelf', materialId: null })
    await settle()
    expect(again.textContent).toBe('drawn')
  })

  it('leads to another rack and to safe keeping', async () => {
    const host = await show(
      <Boundary of="place">
        <Fragile />
      </Boundary>,
    )
    await click(buttonSaying(host, 'Safe keeping'))
    expect(useStore.getState().route).toEqual({ at: 'care', page: 'backups' })
    await click(buttonSaying(host, 'Choose another rack'))
    expect(client.askedOf('rack.close')).toHaveLength(1)
  })

  it('copies details, and shows what it copies', async () => {
    const copied: string[] = []
    Object.defineProperty(navigator, 'clipboard', {
      configurable: true,
      value: { writeText: async (text: string) => void copied.push(text) },
    })
    const host = await show(
      <Boundary of="page">
        <Fragile />
      </Boundary>,
    )
    await click(buttonSaying(host, 'Copy details'))
    expect(copied[0]).toContain('Overground 0.1.0 in a test')
    expect(host.querySelector('pre')?.textContent).toBe(copied[0])
    expect(buttonSaying(host, 'Open the folder of logs')).toBeTruthy()
  })
})

describe('faults are told', () => {
  it('once for each within a minute, and ten at most', async () => {
    for (let each = 0; each < 5; each++) await report('script', new Error('the same'))
    expect(client.askedOf('app.reportError')).toHaveLength(1)
    for (let each = 0; each < 50; each++) await report('script', new Error(`another ${each}`))
    expect(client.askedOf('app.reportError')).toHaveLength(10)
  })

  it('of scripts, of promises and of the security policy; not of what the browser only remarks', async () => {
    const end = hearFaults()
    dispatchEvent(new ErrorEvent('error', { message: 'x', error: new RangeError('x') }))
    dispatchEvent(new ErrorEvent('error', { message: 'ResizeObserver loop completed with undelivered notifications.' }))
    dispatchEvent(Object.assign(new Event('unhandledrejection'), { reason: new Error('lost') }))
    const refused = {
      effectiveDirective: 'img-src',
      blockedURI: 'https://a.example/anna.png',
      sourceFile: '',
      lineNumber: 0,
    }
    document.dispatchEvent(Object.assign(new Event('securitypolicyviolation'), refused))
    await settle()
    end()
    const sent = client.askedOf('app.reportError')
    expect(sent.map(({ kind }) => kind)).toEqual(['script', 'promise', 'policy'])
    expect(sent[2]?.message).toBe('img-src refused https:')
  })

  it('and a fault in telling is none', async () => {
    client.answer({
      'app.reportError': () => {
        throw new Refusal('service/stopped', 'x', 'y')
      },
    })
    await expect(report('script', new Error('x'))).resolves.toBeNull()
    await expect(report('promise', Object.create(null))).resolves.toBeNull()
  })
})

describe('a service that was given up', () => {
  it('is told over the place, which keeps what is typed; it can be started without the rack', async () => {
    client.answer({ 'service.startAgain': () => ({ rackReopened: false }) })
    await startState()
    client.tell({ name: 'service.gaveUp', data: { why: 'its memory ran out', withRack: true } })
    expect(useTrouble.getState().gaveUp).toEqual({ why: 'its memory ran out', withRack: true })
    const host = await show(<GaveUp why="its memory ran out" withRack />)
    expect(host.textContent).toContain('its memory ran out')
    await click(buttonSaying(host, 'Open without this rack'))
    await click(buttonSaying(host, 'Start it again'))
    expect(client.askedOf('service.startAgain')).toEqual([{ withRack: false }, { withRack: true }])
    client.tell({ name: 'service.restarted', data: { why: 'x', rackReopened: false } })
    expect(useTrouble.getState().gaveUp).toBeNull()
    await settle()
  })

  it('is told to a page that is opened after it', async () => {
    const stopped = () => {
      throw new Refusal('service/stopped', 'It stopped several times.', 'Start it again.')
    }
    client.answer({ 'settings.get': stopped, 'rack.describe': stopped, 'jobs.list': stopped })
    useStore.setState({ rack: undefined })
    await startState()
    const host = await show(<App />)
    expect(buttonSaying(host, 'Start it again')).toBeTruthy()
  })

  it('a rack that ended it twice is named as the cause', async () => {
    await startState()
    client.tell({ name: 'service.restarted', data: { why: 'x', rackReopened: false, endedByRack: true } })
    await settle()
    expect(useStore.getState().notices.at(-1)?.message).toContain('Opening this rack stopped')
  })
})

describe('what was typed into a small form', () => {
  it('is there again after the page was loaded anew, and goes with the form', async () => {
    client.answer({ 'customerJobs.save': ({ draft }) => ({ job: draft as never }) })
    useJobDialogs.setState({ beginning: true })
    let host = await show(<NewJobDialog />)
    await type(host.querySelector('input'), 'Tank and mudguards')
    await takeDown()
    host = await show(<NewJobDialog />)
    expect(host.querySelector('input')?.value).toBe('Tank and mudguards')
    await click(buttonSaying(host, 'Cancel'))
    await takeDown()
    useJobDialogs.setState({ beginning: true })
    host = await show(<NewJobDialog />)
    expect(host.querySelector('input')?.value).toBe('')
  })

  it('of a new material as well', async () => {
    let host = await show(<NewMaterialDialog />)
    await type(host.querySelector('input'), 'Tidewater')
    await takeDown()
    host = await show(<NewMaterialDialog />)
    expect(host.querySelector('input')?.value).toBe('Tidewater')
  })
})

describe('the licences', () => {
  it('are found by a part of their name, and read', async () => {
    const host = await show(<NoticesDialog onClose={() => undefined} />)
    await vi.waitFor(async () => {
      await settle()
      expect(host.querySelectorAll('.notices-part').length).toBeGreaterThan(50)
    })
    await type(host.querySelector('input'), 'lgpl heif')
    const parts = [...host.querySelectorAll('.notices-part')]
    expect(parts.map((part) => part.querySelector('b')?.textContent)).toEqual(['libheif-js'])
    expect(host.querySelector('pre')?.textContent).toContain('GNU LESSER GENERAL PUBLIC LICENSE')
    expect(host.textContent).toContain('github.com/strukturag/libheif')
    await type(host.querySelector('input'), 'no such part')
    expect(host.textContent).toContain('No part is called so')
  })
})
