import { gaugeFor, roundToStep, stepsIn } from '../../mix/cup/measuring.ts'
import type { RestLine, RestOfCup } from '../../mix/cup/over-pour.ts'
import { inOunces, sayStep } from '../../mix/cup/say-amounts.ts'
import { compare, toNumber, zero } from '../../mix/rational.ts'
import type { Cup, CupLine } from '../../records/cup.ts'
import type { LabelWording } from '../../records/label.ts'
import type { Block, Cell, Column } from '../paper/blocks.ts'
import { boundSpace } from '../text.ts'

/** A cup with its lines as they are poured, and what is still to be done: nothing was poured yet, as a rule. */
export type CupOnPaper = { cup: Cup; rest: RestOfCup }

/** What was poured stands apart from what is to be poured. */
const columns: readonly Column[] = [
  { widthMm: 56, align: 'left' },
  { widthMm: 38, align: 'right' },
  { widthMm: 32, align: 'right' },
  { widthMm: 4, align: 'left' },
  { widthMm: 25, align: 'left' },
  { widthMm: 27, align: 'left' },
]

/** Lines to pour, in their order, with room to write what was poured; nothing where there is none. */
export function pourTable(
  { cup, rest }: CupOnPaper,
  wording: LabelWording,
  isHere: (line: CupLine) => boolean,
): Block[] {
  const rows = cup.lines.flatMap((line, at) => {
    const left = rest.lines[at]
    return left && isHere(line) ? [rowOf(line, left, cup, wording)] : []
  })
  if (rows.length === 0) return []
  const head = ['', 'amount', cup.measure.by === 'mass' ? 'scale shows' : 'cup up to', '', 'poured', 'batch']
  return [{ kind: 'table', columns, rows: [head.map((text): Cell => ({ text, bold: true })), ...rows], size: 'large' }]
}

function rowOf(line: CupLine, rest: RestLine, { measure }: Cup, { units, decimal }: LabelWording): readonly Cell[] {
  const gauge = gaugeFor(rest.wanted, line.powder, measure)
  const isIn = line.poured !== null && compare(rest.toPour, zero) === 0
  const asked = isIn ? roundToStep(rest.wanted, gauge.step) : rest.toPour
  const say = (amount: typeof asked | number, unit: string, step = toNumber(gauge.step)): string =>
    `${sayStep(amount, step, decimal)}${boundSpace}${unit}`
  const ounces = inOunces(toNumber(asked), gauge.unit, { system: units, decimal }).replaceAll(' ', boundSpace)
  const amount = gauge.inDrops
    ? `${stepsIn(asked, gauge.step)}${boundSpace}drops (${say(asked, gauge.unit)})`
    : `${say(asked, gauge.unit)}${ounces === '' ? '' : ` (${ounces})`}`
  const total = rest.reading === null ? 'weighed apart' : say(rest.reading, gauge.unit, measure.step)
  return [
    { text: line.name },
    { text: rest.topUp ? `${amount} more` : amount, bold: true },
    { text: isIn ? 'it is in' : total },
    { text: '' },
    line.poured === null ? 'write' : { text: say(line.poured, gauge.unit) },
    line.batch === '' ? 'write' : { text: line.batch },
  ]
}
