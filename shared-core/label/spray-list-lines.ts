import { Refusal } from '../contract/refusal.ts'
import { formulaInWords } from '../mix/formula-words.ts'
import { type Quantities, scaleMixture } from '../mix/quantities.ts'
import { formatQuantity, formatShort } from '../mix/units.ts'
import type { LabelWording } from '../records/label.ts'
import type { Layer, Panel } from '../records/panel.ts'
import type { SprayListWanted } from './spray-list.ts'
import { gunInWords } from './text.ts'

/** A line of a spray list, before it has a place. */
export type ListLine =
  | { kind: 'head'; code: string; title: string }
  /** `boxes` stand behind it, one for each coat. */
  | { kind: 'fact'; about: string; says: string; boxes?: number }
  /** One thing to pour, with how full the cup is afterwards. */
  | { kind: 'pour'; isHead: boolean; name: string; share: string; amount: string; upTo: string }
  /** Boxes to strike, one for each coat. */
  | { kind: 'coats'; about: string; says: string; boxes: number }
  /** To be filled in by hand. */
  | { kind: 'blank'; labels: string[] }
  | { kind: 'rule' }

/** At the foot of every sheet: common practice, no source; what the product's sheets and local rules say comes first. */
export const sprayCautions: readonly string[] = [
  'Isocyanates (catalysed clear, primer, carrier): smell gives no warning. Wear the respirator or supplied air, gloves and eye protection that the safety data sheet asks for, also when mixing, cleaning and sanding.',
  'Ventilate. Computer and phone stay out of spraying and mixing areas while vapour is present; photograph after the booth has purged.',
  'Strain candy at 125 µm and let it stand 10–15 min; flake goes in afterwards. Product data sheets and local rules come first.',
  'A prediction is not a panel: spray a check panel before the job.',
]

const coatsInWords = (coats: number, { decimal }: LabelWording): string =>
  coats === 0 ? 'bare' : `${formatShort(coats, 1, decimal)} ${coats === 1 ? 'coat' : 'coats'}`

const beneathWords = { sealer: 'Sealer', undercoat: 'Undercoat', ground: 'Ground' } as const
const aboveWords = { 'barrier-clear': 'Barrier clear', clear: 'Clear' } as const

/** Everything to know and to write down about one panel, in the order of the work. */
export function linesOfPanel(panel: Panel, wanted: SprayListWanted): ListLine[] {
  const { wording } = wanted
  const lines: ListLine[] = [{ kind: 'head', code: panel.code, title: panel.title }]
  const lastCandy = panel.layers.findLastIndex(({ kind }) => kind === 'candy')
  // without candy the steps are those of the solid
  const stepped = lastCandy >= 0 ? lastCandy : panel.layers.findLastIndex(({ kind }) => kind === 'solid')
  const guns = new Set<string>()
  for (const [i, layer] of panel.layers.entries()) {
    if (layer.gunSetup && (layer.kind === 'candy' || layer.kind === 'solid' || layer.kind === 'mid-coat')) {
      const words = gunInWords(layer.gunSetup, wording)
      guns.add(words === '' ? layer.gunSetup.name : `${layer.gunSetup.name}: ${words}`)
    }
    lines.push(...linesOfLayer(layer, wanted, i === stepped ? panel.steps.map(({ coats }) => coats) : null))
  }
  if (stepped < 0 && panel.steps.length > 1)
    lines.push({ kind: 'fact', about: 'Steps', says: 'all alike: there is no candy on this panel' })
  if (guns.size > 0) lines.push({ kind: 'fact', about: 'Gun', says: [...guns].join('; ') })
  lines.push(
    { kind: 'blank', labels: ['Sprayed on', 'by', 'gun and tip', 'pressure'] },
    { kind: 'blank', labels: ['coats as laid', 'reducer, grade', 'temperature', 'humidity'] },
    { kind: 'blank', labels: ['batches', 'what else'] },
    { kind: 'rule' },
  )
  return lines
}

function linesOfLayer(layer: Layer, wanted: SprayListWanted, steps: readonly number[] | null): ListLine[] {
  const { wording } = wanted
  const formula = layer.mixture ? formulaInWords(layer.mixture, { decimal: wording.decimal }) : []
  const named = [layer.name, ...formula].filter((words) => words !== '').join('; ')
  switch (layer.kind) {
    case 'sealer':
    case 'undercoat':
    case 'ground':
      return coatsLine(beneathWords[layer.kind], layer, named, wording)
    case 'mid-coat':
      return coatsLine('Mid coat', layer, named, wording)
    case 'barrier-clear':
    case 'clear':
      return coatsLine(aboveWords[layer.kind], layer, named, wording)
    case 'candy':
    case 'solid':
      return [
        { kind: 'fact', about: layer.kind === 'candy' ? 'Candy' : 'Solid', says: named || 'no formula written down' },
        ...pourLines(layer, wanted),
        ...stepLines(steps ?? [layer.coats], steps !== null, wording),
      ]
  }
}

/** More boxes than these get lines of their own. */
const mostBeside = 4

/** What it is, and a box for each of its coats. */
function coatsLine(about: string, layer: Layer, named: string, wording: LabelWording): ListLine[] {
  const says = coatsInWords(layer.coats, wording)
  const boxes = Math.ceil(layer.coats)
  if (boxes <= mostBeside)
    return [{ kind: 'fact', about, says: [named, says].filter((words) => words !== '').join('; '), boxes }]
  return [
    { kind: 'fact', about, says: named === '' ? '–' : named },
    { kind: 'coats', about: '', says, boxes },
  ]
}

const stepLines = (coats: readonly number[], isStepped: boolean, wording: LabelWording): ListLine[] =>
  coats.map((count, i) => ({
    kind: 'coats',
    about: isStepped && coats.length > 1 ? `Step ${i + 1}` : '',
    says: coatsInWords(count, wording),
    boxes: Math.ceil(count),
  }))

/** The cup: each thing's share, its amount, and how full the cup is once it is in. */
function pourLines(layer: Layer, { wording, cupMl, densityOf }: SprayListWanted): ListLine[] {
  if (!layer.mixture) return []
  let cup: Quantities
  try {
    cup = scaleMixture(layer.mixture, { basis: 'volume', amount: cupMl, of: 'cup' }, densityOf)
  } catch (error) {
    if (!(error instanceof Refusal)) throw error
    // a formula by mass without densities still tells its parts
    return [{ kind: 'fact', about: '', says: `No amounts for this cup: ${error.message}` }]
  }
  const volume = (mL: number) => formatQuantity(mL, 'volume', wording.units, wording.decimal)
  let filled = 0
  return [
    { kind: 'pour', isHead: true, name: `Cup of ${volume(cupMl)}`, share: 'share', amount: 'amount', upTo: 'fill to' },
    ...cup.ingredients.map(({ material, share, volumeMl, massG, powder }): ListLine => {
      filled += volumeMl ?? 0
      const mass = massG === null ? '' : formatQuantity(massG, 'mass', wording.units, wording.decimal)
      return {
        kind: 'pour',
        isHead: false,
        name: material.name,
        share: share === null ? '' : `${formatShort(share * 100, 1, wording.decimal)} %`,
        amount: powder || volumeMl === null ? mass : volume(volumeMl),
        upTo: powder ? '' : volume(filled),
      }
    }),
  ]
}
