import { useStore } from '../../renderer/state/store.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { Cup } from '../../shared-core/records/cup.ts'
import type { CheckOutcome, Correction, CustomerJob } from '../../shared-core/records/customer-job.ts'
import type { Mixture } from '../../shared-core/records/mixture.ts'
import type { Reference } from '../../shared-core/records/reading.ts'
import { type Answers, type FakeClient, fakeClient } from './fake-client.ts'
import { blend, knows, planAnswers, prediction, suggested } from './plan-rack.ts'
import { lights, listed, panel, panels, rackInfo, readings, words } from './sample-rack.ts'

/** An invented rack with one customer's job in it; what is saved stays, and raises the revision, as in a real rack. */

export const reference: Reference = {
  id: 'ref',
  name: 'Customer’s chip',
  notes: '',
  createdAt: '2031-05-01T10:00:00Z',
  readings: [
    {
      ...readings[0]!,
      id: 'chip-reading',
      stepId: null,
      referenceId: 'ref',
      lab: { l: 41, a: 22, b: 24 },
      bound90: 0.8,
    },
  ],
}

export const mixture: Mixture = {
  name: '',
  basis: 'volume',
  parts: [
    {
      amount: 1,
      unit: 'parts',
      material: null,
      mixture: {
        name: 'blend',
        basis: 'volume',
        parts: [
          {
            amount: 4,
            unit: 'parts',
            material: { id: 'tidewater', name: 'Tidewater', kind: 'concentrate' },
            mixture: null,
          },
          {
            amount: 1,
            unit: 'parts',
            material: { id: 'juniper', name: 'Juniper', kind: 'concentrate' },
            mixture: null,
          },
        ],
      },
    },
    { amount: 6, unit: 'parts', material: { id: 'carrier', name: 'Carrier', kind: 'carrier' }, mixture: null },
    {
      amount: 10,
      unit: 'percent-on-top',
      material: { id: 'hardener', name: 'Hardener', kind: 'hardener' },
      mixture: null,
    },
  ],
}

export const freshJob: CustomerJob = {
  id: 'job-1',
  code: 'J-0001',
  title: 'Tank and mudguards',
  customer: 'A. Lindqvist',
  status: 'open',
  referenceId: null,
  candidates: [],
  formula: null,
  parts: [],
  tolerance: 1.5,
  checks: [],
  decisions: [],
  dueOn: null,
  notes: '',
  createdAt: '2031-05-02T08:00:00Z',
}

export const formula: CustomerJob['formula'] = {
  panelId: null,
  stepId: null,
  mixture,
  ground: 'gold',
  coats: 4,
  gunSetup: null,
}
export const tank: CustomerJob['parts'][number] = {
  id: 'tank',
  name: 'Tank',
  areaM2: 0.8,
  areaDoubt: 0.05,
  surface: { shape: 'typed', measures: { areaM2: 0.8 } },
  sprayed: null,
}
/** The panel that is sprayed as a check, and its darkest step. */
const checkPanel = panels[26]!
export const check: CustomerJob['checks'][number] = {
  id: 'check-1',
  panelId: checkPanel.id,
  addedAt: '2031-05-03T09:00:00Z',
  note: '',
}
export const outcome: CheckOutcome = {
  checkId: 'check-1',
  panelId: checkPanel.id,
  code: checkPanel.code,
  stepId: checkPanel.bands.at(-1)!.stepId,
  coats: 4,
  de00: 2.34,
  bound90: 0.71,
  words: 'a little lighter, clearly redder',
  verdict: 'beyond',
  inOnePhoto: false,
  advice: 'Photograph it together with the reference.',
}
export const correction: Correction = {
  words: 'one more coat',
  recipe: { formula: blend, ground: 'gold', coats: 5 },
  prediction: prediction({ lab: { l: 40, a: 23, b: 22 } }),
  expectedDe00: 0.62,
  expectedBound90: 0.84,
  onSprayedPart: true,
}
export const cup: Cup = {
  id: 'cup-1',
  code: 'C-0012',
  title: 'Tank and mudguards',
  customerJobId: 'job-1',
  panelId: null,
  mixture,
  target: { basis: 'volume', amount: 210, words: '0.8 m², 4 coats, 60 % on the part' },
  measure: { by: 'mass', step: 0.1, dropMl: null },
  cupMl: 400,
  tipMm: 1.3,
  lines: [
    {
      id: 'line-1',
      materialId: 'tidewater',
      name: 'Tidewater',
      kind: 'concentrate',
      powder: false,
      wanted: 23,
      poured: 23,
      accepted: false,
      batch: '4411',
    },
    {
      id: 'line-2',
      materialId: 'carrier',
      name: 'Carrier',
      kind: 'carrier',
      powder: false,
      wanted: 180,
      poured: 180,
      accepted: false,
      batch: '20-7',
    },
  ],
  status: 'mixed',
  startedAt: '2031-05-03T07:40:00Z',
  mixedAt: '2031-05-03T08:00:00Z',
  mixedBy: 'Wren',
  standUntil: null,
  potLifeUntil: null,
  hardenerAt: null,
  notes: '',
}

/** What stands in the fake rack; a test changes it as another window would. */
export type JobsRack = {
  jobs: CustomerJob[]
  outcomes: CheckOutcome[]
  cups: Cup[]
  corrections: Correction[]
  revision: number
}

export function jobsRack(more: Partial<JobsRack> = {}): { rack: JobsRack; client: FakeClient } {
  const rack: JobsRack = {
    jobs: [freshJob],
    outcomes: [],
    cups: [],
    corrections: [correction],
    revision: rackInfo.revision,
    ...more,
  }
  const find = (key: string): CustomerJob => {
    const found = rack.jobs.find(({ id, code }) => id === key || code === key)
    if (!found) throw new Refusal('customer-job/absent', 'This job is no longer in the rack.', 'Undo brings it back.')
    return found
  }
  const keep = (job: CustomerJob): { job: CustomerJob } => {
    rack.jobs = [...rack.jobs.filter(({ id }) => id !== job.id), job]
    rack.revision += 1
    return { job }
  }
  const answers: Answers = {
    ...planAnswers,
    'rack.describe': () => ({ rack: { ...rackInfo, revision: rack.revision, undo: 'change job J-0001' } }),
    'lights.list': () => ({ lights }),
    'panels.list': ({ filter }) => listed(filter),
    'panels.listWords': () => words,
    'panels.get': () => ({ panel, summary: checkPanel, readings, photos: [] }),
    'references.list': () => ({ references: [reference] }),
    'gunSetups.list': () => ({ gunSetups: [panel.layers[2]!.gunSetup!] }),
    'film.describe': () => ({ knows }),
    'film.predict': () => ({ prediction: suggested.prediction, sprayed: [], restsOn: [] }),
    'cups.mixtureOf': ({ recipe }) => ({ mixture, ground: recipe.ground, coats: recipe.coats }),
    'cups.list': () => ({ cups: rack.cups }),
    'customerJobs.list': ({ open }) => ({
      jobs: rack.jobs.filter(({ status }) => !open || status !== 'closed').toReversed(),
    }),
    'customerJobs.get': ({ key }) => ({ job: find(key), outcomes: rack.outcomes, cups: rack.cups }),
    'customerJobs.save': ({ draft }) => {
      if (draft.id !== null)
        return keep({ ...draft, id: draft.id, code: draft.code ?? '', createdAt: find(draft.id).createdAt })
      const count = rack.jobs.length + 1
      return keep({ ...draft, id: `job-${count}`, code: `J-000${count}`, createdAt: '2031-06-01T08:00:00Z' })
    },
    'customerJobs.remove': ({ customerJobId }) => {
      rack.jobs = rack.jobs.filter(({ id }) => id !== customerJobId)
      rack.revision += 1
      return {}
    },
    'customerJobs.recordSprayed': ({ customerJobId, partId, sprayed }) => {
      const job = find(customerJobId)
      if (!job.parts.some(({ id }) => id === partId))
        throw new Refusal('customer-job/part-absent', 'This part is no longer in the job.', 'Add it again.')
      return keep({ ...job, parts: job.parts.map((part) => (part.id === partId ? { ...part, sprayed } : part)) })
    },
    'customerJobs.addCheck': ({ customerJobId, panelId, note }) => {
      const job = find(customerJobId)
      const made = { ...check, id: `check-${job.checks.length + 1}`, panelId: panelId ?? check.panelId, note }
      return { ...keep({ ...job, checks: [...job.checks, made] }), panelId: made.panelId }
    },
    'customerJobs.correct': () => ({ corrections: rack.corrections, words: '' }),
    'customerJobs.drawSheet': () => ({ documentId: 'd1', pageCount: 2, fileName: 'J-0001.pdf' }),
  }
  const client = fakeClient(answers)
  useStore.setState({ answers: {} })
  return { rack, client }
}
