import { formulaInWords } from '../mix/formula-words.ts'
import { formatQuantity, formatShort } from '../mix/units.ts'
import type { LabelWording } from '../records/label.ts'
import type { Mixture } from '../records/mixture.ts'
import type { GunSetup, Layer, LayerKind, Panel } from '../records/panel.ts'

/** A line of the label: what it is about in bold, and what is said. Lines without `about` run over the whole width. */
export type LabelLine = { about: string; says: string; role: 'title' | 'fact' | 'day' | 'caution' }

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

const tidy = (text: string): string => text.replaceAll(/\s+/gu, ' ').trim()

const layerWords: Record<LayerKind, string> = {
  sealer: 'Sealer',
  undercoat: 'Undercoat',
  ground: 'Ground',
  candy: 'Candy',
  solid: 'Solid',
  'mid-coat': 'Mid coat',
  'barrier-clear': 'Barrier',
  clear: 'Clear',
}

const coatsInWords = (coats: number, { decimal }: LabelWording): string =>
  `${formatShort(coats, 1, decimal)} ${coats === 1 ? 'coat' : 'coats'}`

/** "1, 2, 3, 4 coats in steps" of a panel masked in steps; else the layer's own count. */
function stepsInWords(layer: Layer, panel: Panel, wording: LabelWording): string {
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
const clauses = (each: readonly string[]): string =>
  each
    .map(tidy)
    .filter((clause) => clause !== '')
    .map(bindClause)
    .join(`${dot} `)

/** The clauses of a formula; the basis is said once where it is the same all through, and not of a single material. */
function formulaClauses(mixture: Mixture, wording: LabelWording): string[] {
  const [only] = mixture.parts
  const lines = formulaInWords(mixture, { decimal: wording.decimal })
  const basis = /, (by (?:volume|mass))$/u
  const ends = new Set(lines.flatMap((line) => basis.exec(line)?.[1] ?? []))
  if (ends.size !== 1) return lines
  const said = lines.map((line) => line.replace(basis, ''))
  return mixture.parts.length === 1 && only?.material ? said : [...said, ...ends]
}

function layerLine(layer: Layer, panel: Panel, wording: LabelWording): LabelLine {
  const formula = layer.mixture ? formulaClauses(layer.mixture, wording) : []
  const says = clauses([layer.name, ...formula, stepsInWords(layer, panel, wording)])
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

/** A hardener anywhere in the build, or a name that says so. */
const isCatalysed = (panel: Panel): boolean => {
  const has = (mixture: Mixture): boolean =>
    mixture.parts.some((part) => part.material?.kind === 'hardener' || (part.mixture !== null && has(part.mixture)))
  return panel.layers.some(
    (layer) => (layer.mixture !== null && has(layer.mixture)) || /\b(2\s?k|catalysed|catalyzed)\b/iu.test(layer.name),
  )
}

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

/**
 * Everything a panel's label says below its code, in order: the colour first, then what is beneath and above it.
 * @param short  for narrow labels
 */
export function labelLines(panel: Panel, wording: LabelWording, short: boolean): LabelLine[] {
  const layers = order.flatMap((kinds) => panel.layers.filter((layer) => kinds.includes(layer.kind)))
  const length = short ? 'short' : 'long'
  const lines: LabelLine[] = [
    { about: '', says: tidy(panel.title), role: 'title' },
    ...layers.map((layer) => layerLine(layer, panel, wording)),
    ...gunLines(layers, wording),
    { about: panel.status === 'planned' ? 'Planned' : 'Sprayed', says: sprayedInWords(panel), role: 'day' },
    { about: '', says: colourCaution[length], role: 'caution' },
    { about: '', says: isCatalysed(panel) ? isocyanateCaution[length] : '', role: 'caution' },
  ]
  return lines.filter((line) => line.says !== '')
}
