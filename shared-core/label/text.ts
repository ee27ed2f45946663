import { formulaInWords } from '../mix/formula-words.ts'
import { namesIsocyanates } from '../mix/safety/cautions.ts'
import { materialsIn } from '../mix/safety/materials-in.ts'
import { formatQuantity, formatShort } from '../mix/units.ts'
import type { LabelWording } from '../records/label.ts'
import type { MaterialRef, Mixture } from '../records/mixture.ts'
import type { BoothConditions, GunSetup, Layer, LayerKind, Panel } from '../records/panel.ts'
import { type Shown, usualPrinting } from '../records/sheet.ts'

/** A line of the label: what it is about in bold, and what is said. Lines without `about` run over the whole width. */
export type LabelLine = { about: string; says: string; role: 'title' | 'loud' | 'fact' | 'day' | 'caution' }

/** Binds a figure to what it counts, so that a line never ends in "4". Drawn as an ordinary space. */
export const boundSpace = '\u00A0'
/** As it is drawn. */
export const plain = (text: string): string => text.replaceAll(boundSpace, ' ')
/** Stands between two clauses on one line. */
export const dot = `${boundSpace}·`

/** What a label says of colour: a photo is an estimate. The short form is for labels below 80 mm. */
export const colourCaution = {
  long: 'Photo colours are estimates: judge against the part under the customer’s light.',
  short: 'Photos only estimate: judge under the customer’s light.',
}
/** Isocyanates: the product's safety data sheet decides. */
export const isocyanateCaution = {
  long: 'Catalysed material: isocyanates, also when fresh film is sanded. Follow its safety data sheet.',
  short: 'Catalysed: isocyanates. Follow the safety data sheet.',
}

export const tidy = (text: string): string => text.replaceAll(/\s+/gu, ' ').trim()

export const layerWords: Record<LayerKind, string> = {
  sealer: 'Sealer',
  undercoat: 'Undercoat',
  ground: 'Ground',
  candy: 'Candy',
  solid: 'Solid',
  'mid-coat': 'Mid coat',
  'barrier-clear': 'Barrier',
  clear: 'Clear',
}

export const coatsInWords = (coats: number, { decimal }: LabelWording): string =>
  `${formatShort(coats, 1, decimal)} ${coats === 1 ? 'coat' : 'coats'}`

/** "steps of 1, 2, 3 and 4 coats" of a panel masked in steps; else the layer's own count. */
export function stepsInWords(layer: Layer, panel: Panel, wording: LabelWording): string {
  if ((layer.kind !== 'candy' && layer.kind !== 'solid') || panel.steps.length < 2)
    return coatsInWords(layer.coats, wording)
  const counts = panel.steps.map((step) => formatShort(step.coats, 1, wording.decimal))
  return `steps of ${counts.slice(0, -1).join(', ')} and ${counts.at(-1)} coats`
}

/** Longest piece, in letters, that is kept on one line while it fits. */
const wholeLetters = 30

/** Short clauses stay whole; long ones break between their ingredients, so that no name is torn from its amount. */
function bindClause(clause: string): string {
  const bind = (text: string): string => (text.length <= wholeLetters ? text.replaceAll(' ', boundSpace) : text)
  if (clause.length <= wholeLetters) return bind(clause)
  const ingredients = clause.split(' : ').map((piece) =>
    piece
      .split(/(?<=[,=]) | (?=in \d)/u)
      .map(bind)
      .join(' ')
      .replaceAll(' =', `${boundSpace}=`),
  )
  return ingredients.join(`${boundSpace}: `)
}

/** Clauses with a dot between them that stays with the first, so that a line may drop it where it breaks. */
export const clauses = (each: readonly string[]): string =>
  each
    .map(tidy)
    .filter((clause) => clause !== '')
    .map(bindClause)
    .join(`${dot} `)

/** The clauses of a formula; the basis is said once where it is the same all through, and not of a single material. */
export function formulaClauses(mixture: Mixture, wording: LabelWording): string[] {
  const [only] = mixture.parts
  const lines = formulaInWords(mixture, { decimal: wording.decimal })
  const basis = /, (by (?:volume|mass))$/u
  const ends = new Set(lines.flatMap((line) => basis.exec(line)?.[1] ?? []))
  if (ends.size !== 1) return lines
  const said = lines.map((line) => line.replace(basis, ''))
  return mixture.parts.length === 1 && only?.material ? said : [...said, ...ends]
}

function layerLine(layer: Layer, panel: Panel, wording: LabelWording, shows: ReadonlySet<Shown>): LabelLine {
  const formula = layer.mixture && shows.has('formula') ? formulaClauses(layer.mixture, wording) : []
  const coats = shows.has('coats') ? stepsInWords(layer, panel, wording) : ''
  const says = clauses([layer.name, ...formula, coats])
  return { about: layerWords[layer.kind], says, role: 'fact' }
}

/** "1.3 mm tip, 1.10 bar at the inlet, 150 mm, 75 % overlap": what was written down of it. */
export function gunInWords(gun: GunSetup, { decimal, units }: LabelWording): string {
  const pressure = (kpa: number, where: string): string => `${formatQuantity(kpa, 'pressure', units, decimal)} ${where}`
  return clauses([
    gun.tipMm === null ? '' : `${formatQuantity(gun.tipMm, 'tip', units, decimal)} tip`,
    gun.inletKpa === null ? '' : pressure(gun.inletKpa, 'inlet'),
    gun.capKpa === null ? '' : pressure(gun.capKpa, 'cap'),
    gun.overlapPercent === null ? '' : `${formatShort(gun.overlapPercent, 1, decimal)} % overlap`,
    gun.distanceMm === null ? '' : `${formatQuantity(gun.distanceMm, 'distance', units, decimal)} away`,
  ])
}

/** One gun line where all layers share a set-up, else one for each, saying whose it is. */
function gunLines(layers: readonly Layer[], wording: LabelWording): LabelLine[] {
  const found = new Map<string, string[]>()
  for (const layer of layers) {
    const words = layer.gunSetup ? gunInWords(layer.gunSetup, wording) : ''
    if (words !== '') found.set(words, [...(found.get(words) ?? []), layerWords[layer.kind].toLowerCase()])
  }
  return [...found].map(([words, whose]) => ({
    about: 'Gun',
    says: found.size === 1 ? words : `${[...new Set(whose)].join(', ')}: ${words}`,
    role: 'fact' as const,
  }))
}

/** What the shelf was told of a material's safety data sheet: whether it names isocyanates; null: nobody looked. */
export type SafetySaid = (material: MaterialRef) => boolean | null
export const nothingSaid: SafetySaid = () => null

/** Isocyanates anywhere in the build, as data sheets say or, where nobody looked, by a hardener; or a name that says so. */
export const hasIsocyanates = (panel: Panel, said: SafetySaid = nothingSaid): boolean =>
  panel.layers.some(
    ({ mixture, name }) =>
      (mixture !== null &&
        materialsIn(mixture).some((each) => namesIsocyanates({ kind: each.kind, isocyanate: said(each) }))) ||
      /\b(2\s?k|catalysed|catalyzed)\b/iu.test(name),
  )

/** Day and painter. */
export const sprayedInWords = (panel: Panel): string => clauses([panel.sprayedOn ?? '', panel.sprayedBy])

const order: readonly (readonly LayerKind[])[] = [
  ['candy', 'solid'],
  ['mid-coat'],
  ['ground'],
  ['undercoat'],
  ['sealer'],
  ['barrier-clear', 'clear'],
]

/** "22 °C, 45 % humidity, 10 min between coats, slow reducer": what was written down of it. */
export function boothInWords(booth: BoothConditions, { decimal, units }: LabelWording): string {
  return clauses([
    booth.temperatureC === null ? '' : formatQuantity(booth.temperatureC, 'temperature', units, decimal),
    booth.humidityPercent === null ? '' : `${formatShort(booth.humidityPercent, 0, decimal)} % humidity`,
    booth.flashOffMin === null ? '' : `${formatShort(booth.flashOffMin, 1, decimal)} min between coats`,
    booth.reducerGrade === '' ? '' : `${booth.reducerGrade} reducer`,
  ])
}

/** One booth line for each set of conditions. */
const boothLines = (layers: readonly Layer[], wording: LabelWording): LabelLine[] =>
  [...new Set(layers.flatMap((layer) => (layer.booth ? [boothInWords(layer.booth, wording)] : [])))].map((says) => ({
    about: 'Booth',
    says,
    role: 'fact' as const,
  }))

/** Which layers stand there: the colour always, what lies beneath and above it as ticked. */
export const isShown = (kind: LayerKind, shows: ReadonlySet<Shown>): boolean =>
  kind === 'candy' || kind === 'solid'
    ? shows.has('formula') || shows.has('coats')
    : shows.has(kind === 'ground' ? 'ground' : 'layers')

/** What stands on a label while nobody chose otherwise. */
export const usualShows: ReadonlySet<Shown> = new Set(usualPrinting.shows.label)

/**
 * Everything a panel's label says below its code, in order: the colour first, then what is beneath and above it.
 * @param short  for narrow labels
 */
export function labelLines(
  panel: Panel,
  wording: LabelWording,
  short: boolean,
  shows: ReadonlySet<Shown> = usualShows,
  said: SafetySaid = nothingSaid,
): LabelLine[] {
  const all = order.flatMap((kinds) => panel.layers.filter((layer) => kinds.includes(layer.kind)))
  const layers = all.filter(({ kind }) => isShown(kind, shows))
  const length = short ? 'short' : 'long'
  const lines: LabelLine[] = [
    { about: '', says: shows.has('title') ? tidy(panel.title) : '', role: 'title' },
    ...layers.map((layer) => layerLine(layer, panel, wording, shows)),
    ...(shows.has('gun') ? gunLines(all, wording) : []),
    ...(shows.has('booth') ? boothLines(all, wording) : []),
    {
      about: panel.status === 'planned' ? 'Planned' : 'Sprayed',
      says: shows.has('date') ? sprayedInWords(panel) : '',
      role: 'day',
    },
    { about: 'Notes', says: shows.has('notes') ? tidy(panel.notes) : '', role: 'fact' },
    { about: '', says: shows.has('cautions') ? colourCaution[length] : '', role: 'caution' },
    {
      about: '',
      says: shows.has('cautions') && hasIsocyanates(panel, said) ? isocyanateCaution[length] : '',
      role: 'caution',
    },
  ]
  return lines.filter((line) => line.says !== '')
}
