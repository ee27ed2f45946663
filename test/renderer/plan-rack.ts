import type { Output } from '../../shared-core/contract/calls.ts'
import type {
  FilmKnowledge,
  KnownCandy,
  KnownGround,
  PlanCell,
  PlanFormula,
  Prediction,
  Suggestion,
} from '../../shared-core/records/film.ts'
import { namedMaterial } from '../../shared-core/records/mixture.ts'
import type { Answers } from './fake-client.ts'
import { listed, words } from './sample-rack.ts'

/** What an invented rack knows: figures are plausible, nothing is computed from them. */

const candy = (id: string, name: string, stepCount: number, more: Partial<KnownCandy> = {}): KnownCandy => ({
  id,
  name,
  lab: { l: 60, a: -10, b: -8 },
  onShelf: true,
  stepCount,
  grounds: stepCount > 0 ? ['bright silver', 'gold'] : [],
  coatsTo: stepCount > 0 ? 4 : 0,
  bound90: stepCount > 0 ? 1.3 : null,
  ...more,
})
const ground = (id: string, stepCount: number, more: Partial<KnownGround> = {}): KnownGround => ({
  id,
  name: id,
  lab: { l: 75, a: 2, b: 6 },
  cut: null,
  stepCount,
  bare: 'cleared',
  ...more,
})

export const knows: FilmKnowledge = {
  revision: 7,
  stepCount: 120,
  panelCount: 31,
  candies: [
    candy('juniper', 'Juniper', 14),
    candy('tidewater', 'Tidewater', 30),
    candy('quince', 'Quince', 6, { onShelf: false }),
    candy('nightjar', 'Nightjar', 0),
  ],
  grounds: [
    ground('gold', 30),
    ground('bright silver', 60),
    ground('copper', 10, { bare: 'none' }),
    ground('never read', 0, { bare: 'none', lab: null }),
  ],
  midCoats: [{ id: 'hoarfrost', name: 'Hoarfrost pearl', stepCount: 5, seen: ['over'] }],
  guns: [
    { id: 'bench', name: 'Bench gun', stepCount: 100, build: 1, buildFrom: 1, buildTo: 1, usual: true },
    { id: 'old', name: 'Old gun', stepCount: 8, build: 1.24, buildFrom: 1.12, buildTo: 1.37, usual: false },
  ],
  usualCoats: 4,
  scatterPerCoat: 0.06,
  leftOut: [{ panelId: 'p9', code: 'P-0099', stepId: 's9', why: 'It has not been read yet.' }],
  advice: ['Read copper bare under clear: a strip without candy on the next panel pays most.'],
}

export const blend: PlanFormula = {
  candies: [
    { id: 'tidewater', parts: 4 },
    { id: 'juniper', parts: 1 },
  ],
  carrierParts: 6,
  reducerPercent: 0,
  hardenerPercent: 0,
  under: null,
  over: null,
  gunSetupId: null,
  finish: 'cleared',
}

export const prediction = (more: Partial<Prediction> = {}): Prediction => ({
  lab: { l: 48, a: -22, b: -6 },
  bound90: 1.24,
  nextPanel90: 2.01,
  outside: { extent: 0, words: [] },
  ...more,
})

/** Over gold four coats were sprayed; over copper it is beyond; a fifth coat is beyond everywhere. */
export function cellOf(groundId: string, coats: number): PlanCell {
  const beyond = [
    ...(groundId === 'copper' ? ['Tidewater was never read over copper.'] : []),
    ...(coats > 4 ? [`Over ${groundId} no more than 4 coats were read.`] : []),
  ]
  return {
    ground: groundId,
    coats,
    prediction: prediction({
      lab: { l: 70 - 8 * coats, a: -4 * coats, b: -2 * coats },
      bound90: 1 + coats / 10,
      outside: { extent: beyond.length / 2, words: beyond },
    }),
    sprayed:
      groundId === 'gold' && coats === 4
        ? [
            {
              panelId: 'p1',
              code: 'P-0116',
              stepId: 's1',
              cut: 'cut-116',
              lab: { l: 39, a: -15, b: -9 },
              bound90: 0.9,
            },
          ]
        : [],
  }
}

export const tableOf = ({ grounds, coats }: { grounds: string[]; coats: number[] }): Output<'film.predictTable'> => ({
  cells: coats.flatMap((count) => grounds.map((id) => cellOf(id, count))),
})

export const suggested: Suggestion = {
  recipe: {
    formula: {
      ...blend,
      candies: [
        { id: 'tidewater', parts: 9 },
        { id: 'juniper', parts: 2 },
      ],
      carrierParts: 8,
    },
    ground: 'copper',
    coats: 5,
  },
  prediction: prediction({ outside: { extent: 0.5, words: ['Tidewater was never read over copper.'] } }),
  de00: 0.42,
  differenceBound90: 1.71,
  words: 'A trace darker',
  why: 'Tidewater was never read over copper.',
  onShelf: true,
  restsOn: [],
}

export const planAnswers: Answers = {
  'film.describe': () => ({ knows }),
  'film.predictTable': tableOf,
  'film.predict': ({ recipe: { ground: groundId, coats } }) => {
    const { prediction: predicted, sprayed } = cellOf(groundId, coats)
    const restsOn = [{ panelId: 'p1', code: 'P-0116', stepId: 's1', weight: 0.3 }]
    return { prediction: predicted ?? prediction(), sprayed, restsOn }
  },
  'film.suggest': () => ({ suggestions: [suggested], nothingNear: null, considered: 1490 }),
  'film.planNext': ({ about }) => ({
    panels: about
      ? [
          {
            ground: 'copper',
            formula: about.formula,
            coats: [0, 2, 4],
            boundNow: 4.2,
            boundThen: 1.5,
            of: 'this table',
            why: 'copper was never read bare under clear.',
          },
        ]
      : [],
  }),
  'film.findGaps': () => ({
    gaps: [{ recipe: suggested.recipe, prediction: prediction(), nearest: 11.2, nearestCode: 'P-0042' }],
  }),
  'film.listSuspects': () => ({
    suspects: [
      {
        panelId: 'p5',
        code: 'P-0054',
        stepId: 's5',
        coats: 3,
        readingId: 'r5',
        read: { l: 60, a: 0, b: 0 },
        expected: { l: 40, a: 0, b: 0 },
        de00: 19.8,
        allowed90: 4.7,
        reason: 'misread',
        words: 'Probably misread. Photograph it again with the card.',
      },
    ],
  }),
  'plan.addPanels': ({ panels }) => ({ panelIds: panels.map((_, i) => `planned-${i}`) }),
  'plan.drawSprayList': () => ({ documentId: 'list', pageCount: 1, fileName: 'spray list.pdf' }),
  'materials.setOnShelf': () => ({}),
  'materials.list': () => ({
    materials: knows.candies.map(({ id, name, onShelf }) => ({ ...namedMaterial(id, name, 'concentrate'), onShelf })),
  }),
  'gunSetups.list': () => ({ gunSetups: [] }),
  'panels.list': ({ filter }) => listed(filter),
  'panels.listWords': () => words,
  'references.list': () => ({ references: [] }),
}
