import { act } from 'react'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { considerCandidate } from '../../renderer/commands/match/consider-candidate.ts'
import { JobsPlace } from '../../renderer/screens/jobs/jobs-place.tsx'
import { ConsiderDialog } from '../../renderer/screens/jobs/list/consider-dialog.tsx'
import { NewJobDialog } from '../../renderer/screens/jobs/list/new-job-dialog.tsx'
import { stepsOf } from '../../renderer/screens/jobs/page/progress.ts'
import { useMatch } from '../../renderer/screens/match/match-state.ts'
import { useJobDialogs } from '../../renderer/state/job-dialogs.ts'
import { useJobEdits } from '../../renderer/state/job-edits.ts'
import { useStore } from '../../renderer/state/store.ts'
import { defaultSettings } from '../../shared-core/records/settings.ts'
import type { FakeClient } from './fake-client.ts'
import { check, correction, cup, formula, freshJob, type JobsRack, jobsRack, outcome, tank } from './jobs-rack.ts'
import { buttonSaying, click, prepare, press, rest, settle, show, takeDown, type } from './mounting.ts'
import { panel } from './sample-rack.ts'

let rack: JobsRack
let client: FakeClient
function open(more: Partial<JobsRack> = {}) {
  ;({ rack, client } = jobsRack(more))
  prepare({}, client)
  useStore.setState({
    settings: { ...defaultSettings, decimal: 'point', units: 'metric', painter: 'Wren' },
    route: { at: 'jobs', key: 'J-0001' },
  })
}
beforeEach(() => {
  // jsdom has no dialogs of its own
  HTMLDialogElement.prototype.showModal = function () {
    this.open = true
  }
  HTMLDialogElement.prototype.close = function () {
    this.open = false
  }
  useJobEdits.setState({ held: {}, failed: {} })
  useJobDialogs.setState({ beginning: false, considering: null })
  localStorage.clear()
  sessionStorage.clear()
})
afterEach(takeDown)

const page = () => show(<JobsPlace jobKey="J-0001" />)
const step = (host: ParentNode, name: string) => host.querySelector(`#job-${name}`)!
const field = (host: ParentNode, label: string) =>
  [...host.querySelectorAll('label')]
    .find((each) => each.firstElementChild?.textContent === label)
    ?.querySelector('input')
async function select(host: ParentNode, label: string, value: string) {
  const found = [...host.querySelectorAll('label')]
    .find((each) => each.firstElementChild?.textContent === label)
    ?.querySelector('select')
  await act(async () => {
    found!.value = value
    found!.dispatchEvent(new Event('change', { bubbles: true }))
  })
  await settle()
}
/** Waits until what was changed is stored. */
async function stored() {
  await rest()
  await rest()
}
const ready = { ...freshJob, referenceId: 'ref', formula, parts: [tank] }

describe('the list of jobs', () => {
  it('says what to do when there is none', async () => {
    open({ jobs: [] })
    const host = await show(<JobsPlace jobKey={null} />)
    expect(host.querySelector('h1')?.textContent).toBe('No job yet')
    expect(buttonSaying(host, 'New job')).toBeDefined()
  })

  it('points to what was typed before a reload, says so in the sheet, and lets one start empty', async () => {
    open({ jobs: [freshJob] })
    const host = await show(
      <>
        <JobsPlace jobKey={null} />
        <NewJobDialog />
      </>,
    )
    expect(host.textContent).not.toContain('What you typed')
    await act(async () => useJobDialogs.setState({ beginning: true }))
    expect(host.textContent).not.toContain('here again')
    await type(field(host, 'What is painted'), 'Tank')
    // a reload closes the sheet and keeps the words
    await act(async () => useJobDialogs.setState({ beginning: false }))
    expect(host.textContent).toContain('What you typed for a new job is kept')
    await act(async () => useJobDialogs.setState({ beginning: true }))
    expect(field(host, 'What is painted')?.value).toBe('Tank')
    expect(host.textContent).toContain('What you had typed before is here again.')
    await click(buttonSaying(host, 'Start empty'))
    expect(field(host, 'What is painted')?.value).toBe('')
    expect(host.textContent).not.toContain('here again')
  })

  it('shows the open ones, and the closed ones when asked', async () => {
    open({ jobs: [{ ...freshJob, id: 'old', code: 'J-0000', title: 'Helmet', status: 'closed' }, freshJob] })
    const host = await show(<JobsPlace jobKey={null} />)
    const codes = () => [...host.querySelectorAll('.jobs-card b.num')].map((b) => b.textContent)
    expect(codes().filter((code) => code?.startsWith('J'))).toEqual(['J-0001'])
    await click(host.querySelector('input[type=checkbox]'))
    expect(codes().filter((code) => code?.startsWith('J'))).toEqual(['J-0001', 'J-0000'])
  })

  it('says on the card how near the last check came, in words and as a shape', async () => {
    open({ jobs: [{ ...ready, checks: [check] }], outcomes: [outcome] })
    const host = await show(<JobsPlace jobKey={null} />)
    await settle()
    const card = host.querySelector('.jobs-card')
    expect(card?.textContent).toContain('2.3 ± 0.7 beyond your tolerance')
    expect(card?.querySelector('.verdict')).not.toBeNull()
  })

  it('begins a job only when it has a name', async () => {
    open()
    const host = await show(<NewJobDialog />)
    await act(async () => useJobDialogs.setState({ beginning: true }))
    await settle()
    await click(buttonSaying(host, 'Begin the job'))
    expect(host.textContent).toContain('The job has no name yet.')
    expect(client.askedOf('customerJobs.save')).toHaveLength(0)
    await type(field(host, 'What is painted'), 'Frame')
    await click(buttonSaying(host, 'Begin the job'))
    expect(client.askedOf('customerJobs.save')[0]?.draft).toMatchObject({ id: null, title: 'Frame', tolerance: 1 })
    expect(location.pathname).toBe('/jobs/J-0002')
  })
})

describe('what is next', () => {
  const now = (more: Partial<Parameters<typeof stepsOf>[0]>) =>
    stepsOf({ job: freshJob, outcomes: [], cups: [], referenceName: 'Old tank', ...more }).find(
      ({ state }) => state === 'now',
    )?.id
  it('is the first step of the work that is not done', () => {
    expect(now({})).toBe('reference')
    expect(now({ job: { ...freshJob, referenceId: 'ref' } })).toBe('formula')
    expect(now({ job: { ...freshJob, referenceId: 'ref', formula } })).toBe('surface')
    expect(now({ job: ready })).toBe('checks')
    const checked = { ...ready, checks: [check] }
    expect(now({ job: checked, outcomes: [outcome] })).toBe('correction')
    const corrected = { at: '2031-05-04T09:00:00Z', who: '', what: 'corrected' as const, panelId: null, words: '' }
    expect(now({ job: { ...checked, decisions: [corrected] }, outcomes: [outcome] })).toBe('checks')
    // what was accepted by eye needs no correction, whatever its figure says
    expect(now({ job: { ...checked, status: 'accepted' }, outcomes: [outcome] })).toBe('sprayed')
    expect(now({ job: ready, outcomes: [{ ...outcome, verdict: 'within' }] })).toBe('decision')
    expect(now({ job: { ...ready, status: 'accepted' }, outcomes: [{ ...outcome, verdict: 'within' }] })).toBe(
      'sprayed',
    )
  })
  it('is the reference again when it was removed, and not before that is known', () => {
    const wanting = { ...freshJob, referenceId: 'ref', formula }
    expect(now({ job: wanting, referenceName: null })).toBe('reference')
    expect(now({ job: wanting, referenceName: undefined })).toBe('surface')
  })
  it('names the panel that waits for its photo', () => {
    const outcomes = [{ ...outcome, de00: null, verdict: 'not-read' as const }]
    const steps = stepsOf({ job: ready, outcomes, cups: [], referenceName: 'Old tank' })
    expect(steps.find(({ id }) => id === 'checks')?.says).toContain(outcome.code)
  })
})

describe('reference and formula', () => {
  it('are chosen from what was considered', async () => {
    const candidate = { id: 'c1', panelId: panel.id, stepId: panel.steps.at(-1)!.id, recipe: null, note: '' }
    open({ jobs: [{ ...freshJob, candidates: [candidate] }] })
    const host = await page()
    await select(step(host, 'reference'), 'Reference', 'ref')
    await click(buttonSaying(step(host, 'reference'), 'Take its formula'))
    await stored()
    expect(rack.jobs[0]).toMatchObject({
      referenceId: 'ref',
      formula: {
        panelId: panel.id,
        stepId: candidate.stepId,
        mixture: panel.layers[2]!.mixture,
        ground: 'copper',
        coats: panel.steps.at(-1)!.coats,
        gunSetup: { name: 'Candy, small gun' },
      },
    })
    expect(step(host, 'reference').textContent).toContain('The formula')
  })

  it('can be typed as on the back of a panel', async () => {
    open()
    const host = await page()
    const formulaStep = step(host, 'formula')
    await click(buttonSaying(formulaStep, 'Type it'))
    await type(
      field(formulaStep, 'Formula, as you would write it on the back'),
      '4:1 tide + fern, in 6:1 carrier, 3 coats',
    )
    await stored()
    expect(rack.jobs[0]?.formula).toMatchObject({ panelId: null, stepId: null, coats: 3 })
    expect(rack.jobs[0]?.formula?.mixture.parts).toHaveLength(2)
  })

  it('takes a candidate over from Match, once', async () => {
    open({ jobs: [{ ...freshJob, referenceId: 'ref' }] })
    const host = await show(<ConsiderDialog />)
    const consider = async () => {
      useMatch.setState({ code: panel.code, stepId: panel.steps[1]!.id })
      useStore.setState({ route: { at: 'match', referenceId: 'ref' } })
      await act(async () => considerCandidate.run(useStore.getState()))
      await settle()
    }
    await consider()
    await type(field(host, 'Note'), 'nearest over copper')
    await click(buttonSaying(host, 'Consider it'))
    await settle()
    await consider()
    await click(buttonSaying(host, 'Consider it'))
    await settle()
    expect(rack.jobs[0]?.candidates).toMatchObject([
      { panelId: panel.id, stepId: panel.steps[1]!.id, note: 'nearest over copper' },
    ])
  })
})

describe('surface', () => {
  it('is typed in any unit, and the total is said in the user’s own', async () => {
    open({ jobs: [{ ...freshJob, parts: [tank] }] })
    const host = await page()
    const surface = step(host, 'surface')
    await click(buttonSaying(surface, 'Add a part'))
    await type(field(surface, 'Part'), 'Mudguards')
    await type(field(surface, 'Area'), '4 ft²')
    await click(buttonSaying(surface, 'Add this part'))
    await stored()
    // NIST Handbook 44: a foot is exactly 304.8 mm
    expect(rack.jobs[0]?.parts[1]).toMatchObject({ name: 'Mudguards', areaDoubt: 0.05 })
    expect(rack.jobs[0]?.parts[1]?.areaM2).toBeCloseTo(4 * 0.3048 ** 2, 9)
    expect(surface.textContent).toMatch(/Together 1\.17\d* m² ± 4 %/)
  })

  it('asks for what is missing, and a reload keeps what was typed', async () => {
    open()
    let host = await page()
    await click(buttonSaying(step(host, 'surface'), 'Add a part'))
    await type(field(step(host, 'surface'), 'Part'), 'Fairing')
    await click(buttonSaying(step(host, 'surface'), 'Add this part'))
    expect(step(host, 'surface').querySelector('[role=alert]')?.textContent).toContain('Area is missing')
    await takeDown()
    host = await page()
    expect(field(step(host, 'surface'), 'Part')?.value).toBe('Fairing')
  })

  it('lists the cups that were mixed', async () => {
    open({ jobs: [ready], cups: [cup] })
    const host = await page()
    const link = step(host, 'surface').querySelector('a.job-cup')
    expect(link?.getAttribute('href')).toBe('/mix/C-0012')
    expect(link?.textContent).toContain('0.8 m², 4 coats, 60 % on the part')
  })
})

describe('check panels and correction', () => {
  it('asks for one photo with the reference, and says why', async () => {
    open({ jobs: [{ ...ready, checks: [check] }], outcomes: [outcome] })
    const host = await page()
    const checks = step(host, 'checks')
    expect(checks.textContent).toContain('side by side in one photo')
    expect(checks.textContent).toContain('the ± gets smaller')
    const row = checks.querySelector('.job-outcome')
    expect(row?.textContent).toContain('Beyond your tolerance')
    expect(row?.textContent).toContain('2.3 ± 0.7')
    expect(row?.textContent).toContain('A little lighter, clearly redder')
    // two paints that touch, with nothing between them
    expect(row?.querySelectorAll('.job-pair > .paint')).toHaveLength(2)
  })

  it('puts a correction into the job with an entry in its history', async () => {
    open({ jobs: [{ ...ready, checks: [check] }], outcomes: [outcome] })
    const host = await page()
    const section = step(host, 'correction')
    expect(client.askedOf('customerJobs.correct')).toHaveLength(0)
    await click(buttonSaying(section, `What to change after ${outcome.code}`))
    await settle()
    expect(section.textContent).toContain('Expected 0.6 ± 0.8, within your tolerance')
    expect(section.textContent).toContain('A prediction is not a panel: spray a check panel.')
    await click(buttonSaying(section, 'Use it'))
    await stored()
    expect(client.askedOf('cups.mixtureOf')).toEqual([{ recipe: correction.recipe }])
    expect(rack.jobs[0]?.formula).toMatchObject({ ground: 'gold', coats: 5, stepId: null })
    expect(rack.jobs[0]?.decisions).toMatchObject([
      { what: 'corrected', who: 'Wren', words: `One more coat, after ${outcome.code}. Expected: 0.6 ± 0.8.` },
    ])
  })

  it('warns of hardener dust where the part is sprayed already', async () => {
    open({ jobs: [{ ...ready, checks: [check] }], outcomes: [outcome] })
    const host = await page()
    const section = step(host, 'correction')
    await click(section.querySelector('input[type=checkbox]'))
    await click(buttonSaying(section, `What to change after ${outcome.code}`))
    await settle()
    expect(client.askedOf('customerJobs.correct')[0]).toMatchObject({ partIsSprayed: true })
    expect(section.querySelector('[aria-label=Cautions]')?.textContent).toContain('isocyanates')
  })

  it('accepts or refuses nothing while nobody is named', async () => {
    open({ jobs: [{ ...ready, checks: [check] }], outcomes: [{ ...outcome, verdict: 'within' }] })
    const host = await page()
    const section = step(host, 'decision')
    await type(field(section, 'Who decides'), ' ')
    for (const words of ['Accept the colour', 'Refuse it']) await click(buttonSaying(section, words))
    await stored()
    expect(rack.jobs[0]).toMatchObject({ status: 'open', decisions: [] })
    expect(section.querySelector('[role=alert]')?.textContent).toContain('Nobody is named')
    await type(field(section, 'Who decides'), 'A. Lindqvist')
    expect(section.querySelector('[role=alert]')).toBeNull()
    await click(buttonSaying(section, 'Refuse it'))
    await stored()
    expect(rack.jobs[0]?.decisions).toMatchObject([{ what: 'refused', who: 'A. Lindqvist' }])
  })

  it('records a decision with name and words', async () => {
    open({ jobs: [{ ...ready, checks: [check] }], outcomes: [{ ...outcome, verdict: 'within' }] })
    const host = await page()
    const section = step(host, 'decision')
    await type(field(section, 'Who decides'), 'A. Lindqvist')
    await click(buttonSaying(section, 'Accept the colour'))
    await stored()
    expect(rack.jobs[0]?.status).toBe('accepted')
    expect(rack.jobs[0]?.decisions).toMatchObject([{ what: 'accepted', who: 'A. Lindqvist', panelId: check.panelId }])
    expect(section.textContent).toContain('Accepted')
  })
})

describe('as sprayed', () => {
  const board = (host: ParentNode) => host.querySelector<HTMLDialogElement>('dialog.job-board')!
  const figure = (host: ParentNode) => board(host).querySelector('.job-board-figure > .num')?.textContent

  it('counts coats at each press, and stores each at once', async () => {
    open({ jobs: [ready], cups: [cup] })
    let host = await page()
    await click(buttonSaying(host, 'Count coats live on Tank'))
    expect(figure(host)).toBe('0')
    const more = board(host).querySelector('.job-board-big')
    await click(more)
    await click(more)
    await click(more)
    expect(figure(host)).toBe('3')
    await settle()
    await settle()
    expect(rack.jobs[0]?.parts[0]?.sprayed).toMatchObject({
      coats: 3,
      ground: 'gold',
      cupIds: ['cup-1'],
      batches: 'Tidewater 4411, Carrier 20-7',
      sprayedBy: 'Wren',
    })
    await click(buttonSaying(board(host), 'One coat less'))
    expect(figure(host)).toBe('2')
    expect(document.activeElement).toBe(more)
    await settle()
    // a reload comes back to the board and the count
    await takeDown()
    useStore.setState({ answers: {} })
    useJobEdits.setState({ held: {}, failed: {} })
    host = await page()
    expect(figure(host)).toBe('2')
    expect(board(host).textContent).toContain('Electronics stay out of the booth')
  })

  it('counts by the space bar, also when no button has the focus', async () => {
    open({ jobs: [ready] })
    const host = await page()
    await click(buttonSaying(host, 'Count coats live on Tank'))
    board(host).tabIndex = -1
    const pressOnBoard = async (key: string, how: KeyboardEventInit = {}) => {
      board(host).focus()
      await press(key, how)
    }
    await pressOnBoard(' ')
    await pressOnBoard(' ', { repeat: true })
    await pressOnBoard(' ')
    expect(figure(host)).toBe('2')
    await pressOnBoard('Backspace')
    expect(figure(host)).toBe('1')
  })

  it('counts several presses that come faster than they are stored', async () => {
    open({ jobs: [ready] })
    const host = await page()
    await click(buttonSaying(host, 'Count coats live on Tank'))
    await settle()
    const more = board(host).querySelector<HTMLButtonElement>('.job-board-big')!
    await act(async () => {
      for (let i = 0; i < 5; i++) more.dispatchEvent(new MouseEvent('click', { bubbles: true }))
    })
    await stored()
    expect(figure(host)).toBe('5')
    expect(rack.jobs[0]?.parts[0]?.sprayed?.coats).toBe(5)
  })

  it('counts as written down from the first coat on, not from looking at the form', async () => {
    open({ jobs: [{ ...ready, status: 'accepted' }] })
    const host = await page()
    const section = step(host, 'sprayed')
    await click(buttonSaying(section, 'Type what was sprayed on Tank'))
    await stored()
    expect(section.textContent).toContain('Write down how Tank is sprayed.')
    expect(buttonSaying(section, 'Everything is painted')).toBeUndefined()
    await type(field(section, 'Candy, coats'), '4')
    await stored()
    expect(buttonSaying(section, 'Everything is painted')).toBeDefined()
  })

  it('is typed from paper, pressure in any unit', async () => {
    open({ jobs: [ready] })
    const host = await page()
    const section = step(host, 'sprayed')
    await click(buttonSaying(section, 'Type what was sprayed on Tank'))
    await select(section, 'Gun set-up', 'g1')
    await type(field(section, 'Inlet, trigger pulled'), '18 psi')
    await type(field(section, 'Booth temperature'), '70 °F')
    await type(field(section, 'Candy, coats'), '3.5')
    await stored()
    const sprayed = rack.jobs[0]?.parts[0]?.sprayed
    expect(sprayed).toMatchObject({ coats: 3.5, gunSetup: { name: 'Candy, small gun' } })
    // NIST SP 811, B.8: 1 psi is 6.894 757 kPa, and 70 °F is (70 − 32) / 1.8 °C
    expect(sprayed?.gunSetup?.inletKpa).toBeCloseTo(18 * 6.894757, 3)
    expect(sprayed?.temperatureC).toBeCloseTo(38 / 1.8, 6)
  })

  it('lets a touch-up start from what was sprayed', async () => {
    open({ jobs: [ready] })
    const host = await page()
    const section = step(host, 'sprayed')
    await click(buttonSaying(section, 'Type what was sprayed on Tank'))
    await type(field(section, 'Candy, coats'), '5')
    await stored()
    await click(buttonSaying(section, 'Touch-up: start from this'))
    await settle()
    expect(client.askedOf('customerJobs.save').at(-1)?.draft).toMatchObject({
      id: null,
      title: 'Touch-up of Tank',
      customer: 'A. Lindqvist',
      referenceId: 'ref',
      formula: { mixture: formula!.mixture, ground: 'gold', coats: 5 },
      parts: [],
    })
    expect(location.pathname).toBe('/jobs/J-0002')
  })
})
