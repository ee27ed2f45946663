import type { JobFacts } from '../../shared-core/label/job-sheet/lines.ts'
import type { Cup } from '../../shared-core/records/cup.ts'
import type { AsSprayed, CheckOutcome, CustomerJob, PartToPaint } from '../../shared-core/records/customer-job.ts'
import { copper, fourToOne } from '../unit/bench-cups.ts'

/** Customers' jobs as a sheet shows them. Invented names throughout. */

export const sprayed: AsSprayed = {
  ground: 'bright silver',
  coats: 4,
  midCoats: 1,
  clearCoats: 3,
  gunSetup: {
    id: 'gun',
    name: 'Bench gun, 1.3',
    gun: 'low-pressure gravity gun',
    tipMm: 1.3,
    inletKpa: 110,
    capKpa: null,
    distanceMm: 150,
    overlapPercent: 75,
  },
  reducerGrade: 'slow',
  reducerPercent: 12.5,
  temperatureC: 23,
  humidityPercent: 48,
  flashOffMin: 9,
  cupIds: ['cup 1'],
  batches: 'copper 24-118, carrier 25-301',
  sprayedOn: '2026-04-17',
  sprayedBy: 'Wren',
  notes: 'A run near the tap, sanded out after the second coat.',
}

export const part = (name: string, areaM2: number, more: Partial<PartToPaint> = {}): PartToPaint => ({
  id: `part ${name}`,
  name,
  areaM2,
  areaDoubt: 0.1,
  surface: { shape: 'typed', measures: {} },
  sprayed: null,
  ...more,
})

export const job = (more: Partial<CustomerJob> = {}): CustomerJob => ({
  id: 'job',
  code: 'J-0042',
  title: 'Tank and mudguards in copper',
  customer: 'A. Lindqvist',
  status: 'accepted',
  referenceId: 'reference',
  candidates: [],
  formula: {
    panelId: 'panel',
    stepId: 'step',
    mixture: fourToOne,
    ground: 'bright silver',
    coats: 4,
    gunSetup: sprayed.gunSetup,
  },
  parts: [part('Tank', 0.62, { sprayed }), part('Front mudguard', 0.21)],
  tolerance: 1.5,
  checks: [{ id: 'check', panelId: 'check panel', addedAt: '2026-04-15T09:00:00.000Z', note: '' }],
  decisions: [
    { at: '2026-04-15T10:00:00.000Z', who: 'Wren', what: 'corrected', panelId: null, words: 'One more coat.' },
    {
      at: '2026-04-16T15:30:00.000Z',
      who: 'A. Lindqvist',
      what: 'accepted',
      panelId: null,
      words: 'Seen at the door.',
    },
  ],
  dueOn: '2026-05-02',
  notes: 'Collects it on a Saturday.',
  createdAt: '2026-04-10T08:00:00.000Z',
  ...more,
})

const cup: Cup = {
  id: 'cup 1',
  code: 'C-0007',
  title: 'Tank',
  customerJobId: 'job',
  panelId: null,
  mixture: fourToOne,
  target: { basis: 'volume', amount: 210, words: '' },
  measure: { by: 'volume', step: 1, dropMl: null },
  cupMl: 400,
  tipMm: 1.3,
  lines: [
    {
      ...copper,
      id: 'line',
      materialId: copper.id,
      powder: false,
      wanted: 24,
      poured: 24,
      accepted: false,
      batch: '24-118',
    },
  ],
  status: 'mixed',
  startedAt: '2026-04-17T07:00:00.000Z',
  mixedAt: '2026-04-17T07:20:00.000Z',
  mixedBy: 'Wren',
  hardenerAt: null,
  standUntil: null,
  potLifeUntil: null,
  notes: '',
}

const outcome: CheckOutcome = {
  checkId: 'check',
  panelId: 'check panel',
  code: 'P-0107',
  stepId: 'step',
  coats: 4,
  de00: 0.9,
  bound90: 0.5,
  words: 'A little darker.',
  verdict: 'within',
  inOnePhoto: true,
  advice: '',
}

export const facts = (more: Partial<JobFacts> = {}): JobFacts => ({
  wording: { decimal: 'point', units: 'metric' },
  referenceName: 'Tank of the old machine',
  swatches: [
    { under: 'Reference', hex: '#8a4a2f', cut: null },
    { under: 'P-0107', hex: '#86472e', cut: null },
  ],
  outcomes: [outcome],
  cups: [cup],
  codes: new Map([['panel', 'P-0031']]),
  isocyanates: new Map(),
  ...more,
})

/** Eight parts, names and notes as long as the records let them be, or nearly. */
export function longJob(): { job: CustomerJob; facts: JobFacts } {
  const long = 'left-hand side panel beneath the seat with the old maker’s badge taken off and both holes welded shut'
  const words = 'It was looked at in the yard under cloud, in the booth and under the lamp over the counter.'
  const parts = Array.from({ length: 8 }, (_, i) =>
    part(`${i + 1} ${long}`, 0.1 + i / 3, i % 2 === 0 ? { sprayed: { ...sprayed, notes: `${words} ${words}` } } : {}),
  )
  return {
    job: job({
      title: `${long}, ${long}`.slice(0, 200),
      customer:
        'Blacksmiths’ and Wheelwrights’ Benevolent Society, Lower Harbour Branch, care of its honorary treasurer',
      parts,
      notes: Array.from({ length: 12 }, () => words).join(' '),
      decisions: Array.from({ length: 9 }, (_, i) => ({
        at: `2026-04-${10 + i}T10:00:00.000Z`,
        who: 'Bartholomew Featherstonehaugh-Cholmondeley',
        what: 'note' as const,
        panelId: null,
        words: `${words} Unbroken${'word'.repeat(40)}`,
      })),
    }),
    facts: facts({
      referenceName: `${long}, ${long}`.slice(0, 200),
      outcomes: Array.from({ length: 6 }, (_, i) => ({
        ...outcome,
        code: `P-${1000 + i}`,
        words: `${words} ${words}`,
      })),
      cups: Array.from({ length: 7 }, (_, i) => ({
        ...cup,
        id: `cup ${i + 1}`,
        code: `C-${1000 + i}`,
        mixedBy: 'Bartholomew Featherstonehaugh-Cholmondeley',
        lines: cup.lines.flatMap((line) => [1, 2, 3].map((k) => ({ ...line, batch: `lot ${i}${k}-2024-118-B` }))),
      })),
    }),
  }
}
