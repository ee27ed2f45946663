import { formulaInWords } from '../../mix/formula-words.ts'
import { labelCautions } from '../../mix/safety/cautions.ts'
import { materialsIn } from '../../mix/safety/materials-in.ts'
import { formatShort } from '../../mix/units.ts'
import type { LabelWording } from '../../records/label.ts'
import type { Layer, Panel } from '../../records/panel.ts'
import type { Shown } from '../../records/sheet.ts'
import {
  boothInWords,
  clauses,
  coatsInWords,
  colourCaution,
  dot,
  gunInWords,
  isShown,
  layerWords,
  type SafetySaid,
  sprayedInWords,
  stepsInWords,
  tidy,
} from '../text.ts'

/**
 * One row of a card: in the left column what it is about, then what is said, and at the right edge how many coats.
 * `begins`: a line is drawn above it, and it is not left alone at the foot of a card.
 */
export type CardRow = {
  about: string
  says: string
  right: string
  face: 'regular' | 'bold'
  /** In ems of the card's text. */
  scale: number
  begins: boolean
}

const row = (more: Partial<CardRow>): CardRow => ({
  about: '',
  says: '',
  right: '',
  face: 'regular',
  scale: 1,
  begins: false,
  ...more,
})
const small = 0.88

/** Gun and booth of a layer in words, each empty where nothing was written down or it is not ticked. */
type Conditions = { gun: string; booth: string }

const conditionsOf = (layer: Layer, wording: LabelWording, shows: ReadonlySet<Shown>): Conditions => ({
  gun:
    shows.has('gun') && layer.gunSetup
      ? [tidy(layer.gunSetup.name), gunInWords(layer.gunSetup, wording)].filter(Boolean).join(`${dot} `)
      : '',
  booth: shows.has('booth') && layer.booth ? boothInWords(layer.booth, wording) : '',
})

/** What all layers that say anything share is said once, below them. */
function sharedBy(layers: readonly Layer[], wording: LabelWording, shows: ReadonlySet<Shown>): Conditions {
  const all = layers.map((layer) => conditionsOf(layer, wording, shows))
  const only = (key: keyof Conditions): string => {
    const said = new Set(all.map((each) => each[key]).filter((each) => each !== ''))
    return said.size === 1 ? ([...said][0] ?? '') : ''
  }
  return { gun: only('gun'), booth: only('booth') }
}

/** The build in spray order: each layer with its coats, its mixture in parts, gun, booth and notes. */
function layerRows(layer: Layer, shared: Conditions, wording: LabelWording, shows: ReadonlySet<Shown>): CardRow[] {
  const mixture =
    layer.mixture && shows.has('formula') ? formulaInWords(layer.mixture, wording).map((line) => clauses([line])) : []
  const { gun, booth } = conditionsOf(layer, wording, shows)
  const said = [
    gun === shared.gun ? '' : gun,
    booth === shared.booth ? '' : booth,
    shows.has('notes') ? tidy(layer.notes) : '',
  ].filter((each) => each !== '')
  const name = tidy(layer.name)
  // a candy has no name of its own: its mixture stands in the first line
  const [first = '', ...others] = name === '' ? mixture : [name, ...mixture]
  return [
    row({
      about: layerWords[layer.kind],
      says: first,
      right: shows.has('coats') ? coatsInWords(layer.coats, wording) : '',
      face: name === '' ? 'regular' : 'bold',
      begins: true,
    }),
    ...others.map((says) => row({ says })),
    ...said.map((says) => row({ says, scale: small })),
  ]
}

/** Steps with notes of their own, each in a row; steps without are said in one. */
function stepRows(panel: Panel, wording: LabelWording, shows: ReadonlySet<Shown>): CardRow[] {
  const candy = panel.layers.find(({ kind }) => kind === 'candy' || kind === 'solid')
  if (!shows.has('coats') || panel.steps.length < 2 || !candy) return []
  const noted = shows.has('notes') ? panel.steps.filter(({ notes }) => notes.trim() !== '') : []
  return [
    row({ about: 'Steps', says: stepsInWords(candy, panel, wording).replace(/^steps of /u, ''), begins: true }),
    ...noted.map((step) =>
      row({ says: `${formatShort(step.coats, 1, wording.decimal)}: ${tidy(step.notes)}`, scale: small }),
    ),
  ]
}

/** All that a card says below its head, from the substrate up. */
export function cardRows(panel: Panel, wording: LabelWording, shows: ReadonlySet<Shown>): CardRow[] {
  const shared = sharedBy(panel.layers, wording, shows)
  const substrate = tidy(panel.substrate)
  const date = sprayedInWords(panel)
  const notes = tidy(panel.notes)
  return [
    ...(shows.has('layers') && substrate !== '' ? [row({ about: 'On', says: substrate, begins: true })] : []),
    ...panel.layers
      .filter(({ kind }) => isShown(kind, shows))
      .flatMap((layer) => layerRows(layer, shared, wording, shows)),
    ...stepRows(panel, wording, shows),
    ...(shared.gun === '' ? [] : [row({ about: 'Gun', says: shared.gun, begins: true })]),
    ...(shared.booth === '' ? [] : [row({ about: 'Booth', says: shared.booth, begins: true })]),
    ...(shows.has('date') && date !== ''
      ? [row({ about: panel.status === 'planned' ? 'Planned' : 'Sprayed', says: date, begins: true })]
      : []),
    ...(shows.has('notes') && notes !== '' ? [row({ about: 'Notes', says: notes, begins: true })] : []),
  ]
}

/** At the foot of every card: what a photo can tell, and what the film is made of. */
export function cardCautions(panel: Panel, shows: ReadonlySet<Shown>, said: SafetySaid): string[] {
  if (!shows.has('cautions')) return []
  const materials = panel.layers.flatMap(({ mixture }) => (mixture ? materialsIn(mixture) : []))
  const inIt = materials.map((each) => ({ kind: each.kind, isocyanate: said(each) }))
  return [colourCaution.long, ...labelCautions(inIt, 1)]
}
