import type { AsSprayed, CustomerJobStatus, PartToPaint } from '../../../../shared-core/records/customer-job.ts'
import { dayOf, guns, lastDay } from './drafts.ts'
import type { PanelIdea } from './panels.ts'

/** A customer's job as it happened. Panels and references by their titles; all names are invented. */
export type JobIdea = {
  title: string
  customer: string
  status: CustomerJobStatus
  reference: string
  /** Panels that were looked at, the nearest first. */
  candidates: readonly { title: string; coats: number; note: string }[]
  /** What was sprayed for it; null: nothing is chosen yet. */
  formula: { like: string; idea: PanelIdea } | null
  tolerance: number
  parts: readonly PartToPaint[]
  cup: { ml: number; title: string } | null
  decided: readonly { daysBefore: number; who: string; what: 'accepted' | 'corrected' | 'note'; words: string }[]
  dueInDays: number | null
  notes: string
}

const dayMs = 86_400_000
export const daysBefore = (days: number): Date => new Date(lastDay.getTime() - days * dayMs)

const part = (name: string, areaM2: number, areaDoubt: number, sprayed: AsSprayed | null = null): PartToPaint => ({
  id: `part-${name.toLowerCase().replaceAll(' ', '-')}`,
  name,
  areaM2,
  areaDoubt,
  surface: { shape: 'typed', measures: {} },
  sprayed,
})

const body: AsSprayed = {
  ground: 'bright silver',
  coats: 3,
  midCoats: 0,
  clearCoats: 3,
  gunSetup: guns.usual.setup,
  reducerGrade: 'medium',
  reducerPercent: 5,
  temperatureC: 21,
  humidityPercent: 54,
  flashOffMin: 8,
  cupIds: [],
  batches: 'Damson 25-412, Nightjar 25-118, Tern carrier 25-730',
  sprayedOn: dayOf(daysBefore(34)),
  sprayedBy: 'Wren',
  notes: 'Second coat across the grain, third along it. A little more on the horns.',
}

const sprayedOnce = (
  title: string,
  ground: PanelIdea['ground'],
  blend: PanelIdea['blend'],
  coats: number,
): PanelIdea => ({ title, ground, blend, carrier: 6, steps: [coats], cleared: true, tags: ['one go'] })

/** The oldest first. */
export const jobIdeas: readonly JobIdea[] = [
  {
    title: 'Guitar body in violet',
    customer: 'Ines Calloway',
    status: 'closed',
    reference: 'Guitar body, violet',
    candidates: [{ title: 'Damson', coats: 4, note: 'Too red, or it would have done.' }],
    formula: {
      like: 'Damson',
      idea: sprayedOnce(
        'Check for the guitar body',
        'silver',
        [
          ['Damson', 3],
          ['Nightjar', 1],
        ],
        3,
      ),
    },
    tolerance: 3,
    parts: [part('Body', 0.24, 0.15, body), part('Headstock', 0.02, 0.2, { ...body, notes: '' })],
    cup: { ml: 140, title: 'Body and headstock' },
    decided: [
      {
        daysBefore: 36,
        who: 'Ines Calloway',
        what: 'accepted',
        words: 'Held beside the old body, in the yard and inside.',
      },
      { daysBefore: 29, who: 'Wren', what: 'note', words: 'Cut and polished, picked up.' },
    ],
    dueInDays: null,
    notes: 'The old body stays with her: reference and panel are filed.',
  },
  {
    title: 'Tank and mudguards in teal',
    customer: 'Rufus Thistlewood',
    status: 'open',
    reference: "Customer's tank, teal",
    candidates: [
      { title: 'Harbour Lamp', coats: 3, note: 'Nearest, a breath bluer.' },
      { title: 'Tidewater', coats: 3, note: '' },
    ],
    formula: {
      like: 'Harbour Lamp',
      idea: sprayedOnce(
        'Check for the teal tank',
        'silver',
        [
          ['Tidewater', 4],
          ['Juniper', 1],
        ],
        2,
      ),
    },
    tolerance: 1.5,
    parts: [part('Tank', 0.62, 0.1), part('Front mudguard', 0.21, 0.15), part('Rear mudguard', 0.34, 0.15)],
    cup: null,
    decided: [
      {
        daysBefore: 3,
        who: 'Wren',
        what: 'note',
        words: 'Two coats to begin with: he remembers it lighter than it is.',
      },
    ],
    dueInDays: 12,
    notes: 'Badges come off; tap stays in.',
  },
  {
    title: 'Front fender in deep red',
    customer: 'Odile Marchbanks',
    status: 'open',
    reference: 'Front fender, deep red',
    candidates: [
      { title: 'Rosehip on copper', coats: 3, note: '' },
      { title: 'Kiln', coats: 3, note: 'Too orange in the sun.' },
    ],
    formula: null,
    tolerance: 1.5,
    parts: [part('Front fender', 0.28, 0.2)],
    cup: null,
    decided: [],
    dueInDays: 20,
    notes: '',
  },
]
