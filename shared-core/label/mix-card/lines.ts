import { cupOf } from '../../mix/cup/contents.ts'
import { pouringLines } from '../../mix/cup/cup-lines.ts'
import { temperatureNote } from '../../mix/cup/density.ts'
import { restOfCup } from '../../mix/cup/over-pour.ts'
import { overPourInWords } from '../../mix/cup/over-pour-words.ts'
import { type PourPlan, planPour } from '../../mix/cup/pour-plan.ts'
import { pourWarnings } from '../../mix/cup/pour-words.ts'
import { inPouringOrder } from '../../mix/cup/pouring-order.ts'
import { inOunces, sayStep } from '../../mix/cup/say-amounts.ts'
import { formulaInWords } from '../../mix/formula-words.ts'
import { compare, fromNumber, one, toNumber } from '../../mix/rational.ts'
import { cautionsFor } from '../../mix/safety/cautions.ts'
import { isCatalysed } from '../../mix/safety/materials-in.ts'
import { cautionKinds, densityFrom, flakeOf, potLifeOf } from '../../mix/shelf-facts.ts'
import { flakeTipWarning, reducerWarnings } from '../../mix/spray/gun-limits.ts'
import { strainingFor } from '../../mix/spray/straining.ts'
import { formatShort } from '../../mix/units.ts'
import type { Cup } from '../../records/cup.ts'
import type { LabelWording } from '../../records/label.ts'
import type { Material, MaterialRef } from '../../records/mixture.ts'
import type { Block } from '../paper/blocks.ts'
import { type CupOnPaper, pourTable } from './pour-table.ts'

/** What a card says of a cup beside the cup itself. */
export type CardFacts = {
  wording: LabelWording
  /** The shelf: densities, pot lives, grain of flake, and what safety data sheets name. */
  materials: readonly Material[]
  /** Job and panel that it is for, in words; empty: none. */
  about: string
}

const fact = (about: string, says: string): Block => ({ kind: 'fact', about, says })
const small = (text: string): Block => ({ kind: 'text', size: 'small', text })

/** Everything to mix one cup by, in the order of the work: the same lines, order and amounts as the bench shows. */
export function mixCardBlocks(drawn: Cup, { wording, materials, about }: CardFacts): Block[] {
  const cup = { ...drawn, lines: inPouringOrder(drawn.lines) }
  const { decimal } = wording
  const refs = cup.lines.map(({ materialId, name, kind }): MaterialRef => ({ id: materialId, name, kind }))
  const rest = restOfCup(pouringLines(cup.lines), cup.measure, null, densityFrom(materials))
  const onPaper = { cup, rest }
  const { steps, after } = strainingFor(refs)
  // flake waits until the rest has been strained, and everything stands afterwards
  const beforeFlake = after.length > 0 ? steps.slice(0, -1) : steps
  const numbered = (some: readonly string[], from: number): Block[] =>
    some.map((text, at) => ({ kind: 'text', size: 'large', text: `${from + at}. ${text}` }))
  const warnings = warningsFor(onPaper, refs, materials, decimal)
  return [
    ...(about === '' ? [] : [fact('For', about)]),
    fact('Formula', formulaInWords(cup.mixture, { decimal }).join(', ')),
    fact('Ready to spray', readyToSpray(onPaper, wording)),
    ...warnings.map((text, at) => fact(at === 0 ? 'Mind' : '', text)),
    { kind: 'heading', text: 'Pour in this order' },
    ...pourTable(onPaper, wording, ({ kind }) => kind !== 'flake'),
    { kind: 'heading', text: 'Then' },
    ...numbered(beforeFlake.slice(0, -1), 1),
    {
      kind: 'together',
      blocks: [
        ...numbered(beforeFlake.slice(-1), beforeFlake.length),
        ...pourTable(onPaper, wording, ({ kind }) => kind === 'flake'),
      ],
    },
    ...numbered(steps.slice(beforeFlake.length), beforeFlake.length + 1),
    ...potLife(cup, potLifeOf(refs, materials), decimal),
    small(
      `Poured too much? Write down what the ${cup.measure.by === 'mass' ? 'scale' : 'cup'} says and pour on in the same ratios: every other amount grows as much.`,
    ),
    { kind: 'blanks', labels: ['Mixed by', 'on', 'at', 'temperature'] },
    {
      kind: 'blanks',
      labels: [...(isCatalysed(cup.mixture) ? ['Hardener in at'] : []), 'Stood until', 'To be sprayed by'],
    },
    { kind: 'together', blocks: [{ kind: 'heading', text: 'Take care' }, ...cautions(refs, materials).map(small)] },
    ...(isConverted(cup) ? [small(temperatureNote(30, wording.units, decimal) ?? '')] : []),
  ]
}

/** The lines as a plan, for what is to be said of it. They stand in the cup's own measure: no density is asked for. */
export function planOfLines({ lines, measure }: Cup): PourPlan {
  const contents = lines.map(({ materialId, name, kind, powder, wanted }) => {
    const amount = fromNumber(wanted)
    const isMass = powder || measure.by === 'mass'
    const material = { id: materialId, name, kind }
    return { material, path: [], powder, volumeMl: isMass ? null : amount, massG: isMass ? amount : null }
  })
  return planPour(cupOf(contents), measure)
}

/** Volume and mass stand for each other somewhere: then the temperature counts. */
const isConverted = ({ mixture, target, measure }: Cup): boolean =>
  mixture.basis !== measure.by || target.basis !== measure.by

function readyToSpray({ cup, rest }: CupOnPaper, { units, decimal }: LabelWording): string {
  const isMass = cup.measure.by === 'mass'
  const unit = isMass ? 'g' : 'mL'
  const total = rest.lines.findLast(({ reading }) => reading !== null)?.reading ?? rest.total
  const said = [
    `${sayStep(total, cup.measure.step, decimal)} ${unit}`,
    inOunces(toNumber(total), unit, { system: units, decimal }),
    isMass && rest.volumeMl ? `${formatShort(toNumber(rest.volumeMl), 1, decimal)} mL` : '',
  ]
  const amounts = said.filter((words) => words !== '').join(' = ')
  return cup.target.words === '' ? amounts : `${amounts} (${cup.target.words})`
}

function potLife({ mixture }: Cup, minutes: number | null, decimal: LabelWording['decimal']): Block[] {
  const from = isCatalysed(mixture) ? 'when the hardener goes in' : 'mixing'
  const says =
    minutes !== null
      ? `${formatShort(minutes, 0, decimal)} min from ${from}, as its data sheet says. Less when it is warm.`
      : 'It hardens in the cup: the hardener’s data sheet says how long it can be sprayed.'
  return minutes !== null || isCatalysed(mixture) ? [fact('Pot life', says)] : []
}

function warningsFor(
  { cup, rest }: CupOnPaper,
  refs: readonly MaterialRef[],
  materials: readonly Material[],
  decimal: LabelWording['decimal'],
): string[] {
  const { measure, cupMl, tipMm, mixture } = cup
  const hasFlake = refs.some(({ kind }) => kind === 'flake')
  const flake = hasFlake && tipMm !== null ? flakeTipWarning(tipMm, flakeOf(refs, materials), decimal) : null
  const isTooMuch = cupMl !== null && rest.volumeMl !== null && compare(rest.volumeMl, fromNumber(cupMl)) > 0
  const grave = cautionsFor(cautionKinds(refs, materials), 'mix').filter(({ code }) => code === 'safety/isocyanates')
  return [
    ...grave.map(({ label }) => label),
    ...(compare(rest.factor, one) > 0 ? overPourInWords(rest, measure, decimal) : []),
    ...pourWarnings(planOfLines(cup), decimal),
    ...(isTooMuch ? [`That is more than a cup of ${formatShort(cupMl, 1, decimal)} mL takes: use a larger one.`] : []),
    ...reducerWarnings(mixture, tipMm, decimal),
    ...(flake === null ? [] : [flake]),
  ]
}

/** Of mixing and of spraying, each once: what is mixed is going to be sprayed. */
function cautions(refs: readonly MaterialRef[], materials: readonly Material[]): string[] {
  const ingredients = cautionKinds(refs, materials)
  const all = [...cautionsFor(ingredients, 'mix'), ...cautionsFor(ingredients, 'spray')]
  const once = new Map(all.map((caution) => [caution.code, caution]))
  return [...once.values()].map(({ message, remedy }) => `${message} ${remedy}`)
}
