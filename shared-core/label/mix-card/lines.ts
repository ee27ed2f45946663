import { temperatureNote } from '../../mix/cup/density.ts'
import { type PourPlan, planPour } from '../../mix/cup/pour-plan.ts'
import { pourWarnings } from '../../mix/cup/pour-words.ts'
import { fillCup } from '../../mix/cup/targets.ts'
import { formulaInWords } from '../../mix/formula-words.ts'
import type { DensityOf } from '../../mix/quantities.ts'
import { toNumber } from '../../mix/rational.ts'
import { cautionsFor } from '../../mix/safety/cautions.ts'
import { materialsIn } from '../../mix/safety/materials-in.ts'
import { flakeTipWarning, reducerWarnings } from '../../mix/spray/gun-limits.ts'
import { strainingFor } from '../../mix/spray/straining.ts'
import { formatShort } from '../../mix/units.ts'
import type { Cup } from '../../records/cup.ts'
import type { LabelWording } from '../../records/label.ts'
import type { Block, Cell, Column } from '../paper/blocks.ts'

/** What a card says of a cup beside the cup itself. */
export type CardFacts = {
  wording: LabelWording
  densityOf: DensityOf
  /** Job and panel that it is for, in words; empty: none. */
  about: string
  /** Shortest pot life of what is in it, in minutes; null: nothing hardens, or nobody said. */
  potLifeMin: number | null
  /** Largest grain of flake in it, in micrometres; null: none, or nobody said. */
  flakeUm: number | null
}

const columns: readonly Column[] = [
  { widthMm: 62, align: 'left' },
  { widthMm: 30, align: 'right' },
  { widthMm: 34, align: 'right' },
  { widthMm: 28, align: 'left' },
  { widthMm: 28, align: 'left' },
]

/** The plan that screen and card have in common. @throws Refusal as `fillCup` and `planPour` */
export function planOfCup({ mixture, target, measure }: Cup, densityOf: DensityOf): PourPlan {
  const contents = fillCup(mixture, { kind: 'amount', basis: target.basis, amount: target.amount }, densityOf)
  return planPour(contents, measure, densityOf)
}

/** Everything to mix one cup by, in the order of the work. */
export function mixCardBlocks(cup: Cup, facts: CardFacts): Block[] {
  const { wording, densityOf } = facts
  const { decimal } = wording
  const plan = planOfCup(cup, densityOf)
  const say = (value: number, unit: string): string => `${formatShort(value, 2, decimal)} ${unit}`
  const isByMass = cup.measure.by === 'mass'
  const rows = plan.lines.map((line): readonly Cell[] => [
    { text: line.material.name },
    { text: line.drops === null ? say(toNumber(line.rounded), line.unit) : `${line.drops} drops`, bold: true },
    { text: line.reading === null ? 'apart' : say(toNumber(line.reading), plan.total.unit) },
    'write',
    'write',
  ])
  const head: readonly Cell[] = [
    { text: 'Pour in this order', bold: true },
    { text: 'amount', bold: true },
    { text: isByMass ? 'scale shows' : 'cup up to', bold: true },
    { text: 'poured', bold: true },
    { text: 'batch', bold: true },
  ]
  const ingredients = materialsIn(cup.mixture)
  const straining = strainingFor(ingredients)
  const hasFlake = ingredients.some(({ kind }) => kind === 'flake')
  const flake = hasFlake && cup.tipMm !== null ? flakeTipWarning(cup.tipMm, facts.flakeUm, decimal) : null
  const warnings = [
    ...pourWarnings(plan, decimal),
    ...straining.warnings,
    ...reducerWarnings(cup.mixture, cup.tipMm, decimal),
    ...(flake === null ? [] : [flake]),
  ]
  const cautions = [...cautionsFor(ingredients, 'mix'), ...cautionsFor(ingredients, 'spray')]
  const once = cautions.filter(({ code }, at) => cautions.findIndex((other) => other.code === code) === at)
  const total = say(toNumber(plan.total.rounded), plan.total.unit)
  return [
    ...(facts.about === '' ? [] : [{ kind: 'fact' as const, about: 'For', says: facts.about }]),
    { kind: 'fact', about: 'Formula', says: formulaInWords(cup.mixture, { decimal }).join(', ') },
    { kind: 'fact', about: 'Ready to spray', says: cup.target.words === '' ? total : `${total} (${cup.target.words})` },
    { kind: 'heading', text: 'Mix' },
    { kind: 'table', columns, rows: [head, ...rows], size: 'usual' },
    {
      kind: 'text',
      size: 'small',
      text: `Poured too much? Write down what the ${isByMass ? 'scale' : 'cup'} says and pour on in the same ratios: every other amount grows as much.`,
    },
    ...warnings.map((text): Block => ({ kind: 'text', text })),
    { kind: 'heading', text: 'Then' },
    ...straining.steps.map((text, at): Block => ({ kind: 'fact', about: `${at + 1}.`, says: text })),
    ...(facts.potLifeMin === null
      ? []
      : [
          {
            kind: 'fact' as const,
            about: 'Pot life',
            says: `${formatShort(facts.potLifeMin, 0, decimal)} min from mixing, as its data sheet says.`,
          },
        ]),
    { kind: 'blanks', labels: ['Mixed by', 'on', 'at', 'temperature'] },
    { kind: 'heading', text: 'Take care' },
    ...once.map(({ message, remedy }): Block => ({ kind: 'text', size: 'small', text: `${message} ${remedy}` })),
    { kind: 'text', size: 'small', text: densityNote(wording) },
  ]
}

/** Where volume and mass stand for each other, the temperature counts. */
const densityNote = ({ units, decimal }: LabelWording): string =>
  temperatureNote(30, units, decimal) ?? 'Densities hold at 20 °C.'
