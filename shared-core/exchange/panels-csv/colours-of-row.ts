import { type Cell, figureOf, notUnderstood, short, understood } from './cells.ts'
import { coatsOfHeading } from './headings.ts'
import type { RowColour, RowReading } from './reading.ts'

/**
 * Colours in figures, of the steps that their headings name ("L* 4 coats"); without a number, of the panel's only step.
 * For which light, observer and geometry they are is asked once for the table.
 */
export function coloursOfRow(row: RowReading, steps: readonly number[]): RowColour[] {
  const bound90 = boundOfRow(row)
  const colours: RowColour[] = []
  for (const { coats, columns } of triples(row)) {
    const said = columns.map((column) => row.cell(column))
    if (said.every((text) => text === '')) continue
    const figures = columns.map((column, i) => row.take(column, (text) => figureIn(row, text, i)))
    const [l, a, b] = figures
    if (said.some((text) => text === '')) {
      row.unread(columns[said.indexOf('')] ?? 0, {
        message: 'One of L, a and b is missing.',
        remedy: 'Write all three, or none.',
      })
      continue
    }
    if (typeof l !== 'number' || typeof a !== 'number' || typeof b !== 'number') continue
    const step = stepFor(row, coats, steps, columns[0] ?? 0)
    if (step === null) continue
    for (const ask of ['illuminant', 'observer', 'geometry'] as const) {
      row.all.ask(ask, `${l}, ${a}, ${b}`)
      if (row.all.plan.answers[ask] === null) row.waiting = true
    }
    colours.push({ coats: step, lab: { l, a, b }, bound90 })
  }
  return colours
}

function triples(row: RowReading): { coats: number | null; columns: number[] }[] {
  const [ls, as, bs] = (['lab-l', 'lab-a', 'lab-b'] as const).map((use) => row.all.columnsOf(use))
  const of = (columns: readonly number[] | undefined, coats: number | null) =>
    columns?.find((column) => coatsOfHeading(row.all.heading(column)) === coats)
  return (ls ?? []).flatMap((l, i) => {
    const coats = coatsOfHeading(row.all.heading(l))
    // headings without a common number pair up in order
    const [a, b] = [of(as, coats) ?? as?.[i], of(bs, coats) ?? bs?.[i]]
    return a === undefined || b === undefined ? [] : [{ coats, columns: [l, a, b] }]
  })
}

function figureIn(row: RowReading, text: string, place: number): Cell<number | null> {
  const sign = row.sign(text)
  if (sign === null) return understood(null)
  const figure = figureOf(text, sign)
  if (!figure.ok) return figure
  // silver reaches an L* above 100
  const fits = place === 0 ? figure.value >= 0 && figure.value <= 150 : Math.abs(figure.value) <= 160
  return fits
    ? figure
    : notUnderstood(
        `“${short(text)}” is no ${['L*', 'a*', 'b*'][place]}.`,
        'L* runs from 0 to 100, a* and b* seldom beyond 100.',
      )
}

function stepFor(row: RowReading, coats: number | null, steps: readonly number[], column: number): number | null {
  if (coats !== null) {
    if (steps.includes(coats)) return coats
    row.unread(column, {
      message: `A colour is given for ${coats} coats, and the panel has no such step.`,
      remedy: 'Put that number among the panel’s coats.',
    })
    return null
  }
  if (steps.length === 1) return steps[0] ?? null
  row.all.ask('labStep', `${steps.join(', ')} coats`)
  const { labStep } = row.all.plan.answers
  if (labStep === null) {
    row.waiting = true
    return null
  }
  return labStep === 'most' ? Math.max(...steps) : Math.min(...steps)
}

function boundOfRow(row: RowReading): number | null {
  const { column } = row.one('bound')
  const said = row.take(column, (text): Cell<number | null> => {
    const sign = row.sign(text)
    if (sign === null) return understood(null)
    const figure = figureOf(text.replace(/^±\s*/u, ''), sign)
    if (!figure.ok) return figure
    return figure.value > 0 && figure.value <= 50
      ? figure
      : notUnderstood(`“${short(text)}” is no bound.`, 'Write the ± in dE00, more than 0 and at most 50.')
  })
  return said ?? row.all.plan.choices.bound90
}
