/**
 * Texts that are long and hold next to nothing, where a pattern with blanks in it would try every way of sharing them out: a cell
 * of a table may have ten thousand letters. None of these ends within the test's time where the work grows with the cube.
 */
import { expect, it } from 'vitest'
import { readMinutes } from '../../renderer/screens/shelf/material/facts.ts'
import { coatsOf, dayOf, figureOf } from '../../shared-core/exchange/panels-csv/cells.ts'
import { parseFormula } from '../../shared-core/mix/formula.ts'

const long = 9_900
const hostile = [' ', '\n', ';', '1 ', 'a ', '1,', 'a = ', '“', '(', '½ ', '1:', '/ ', '+ ', '\u00A0', '- '].flatMap(
  (piece) => {
    const text = piece.repeat(long / piece.length)
    return [text, `2${text}!`, `${text}=`, `a${text}z`]
  },
)

it('formulas', () => {
  for (const text of hostile) expect(parseFormula(text, { known: ['copper', 'crimson red'] }).ok).toBe(false)
  // and those that are as long as is read at all
  for (const text of hostile) expect(typeof parseFormula(text.slice(0, 4000), { known: ['copper'] }).ok).toBe('boolean')
})

it('definitions are still found, in quotation marks or without', () => {
  for (const name of ['base mix', '“base mix”']) {
    const read = parseFormula(`${name} = 2 teal : 1 violet\n3 base mix : 1 copper`, { known: [] })
    expect(read).toMatchObject({
      ok: true,
      mixture: { parts: [{ amount: 3, mixture: { name: 'base mix' } }, { amount: 1 }] },
    })
  }
})

it('coats, days and figures of a table', () => {
  for (const text of hostile) {
    expect(coatsOf(text, 'point').ok).toBe(false)
    expect(dayOf(text, 'day-first', '2031-05-17').ok).toBe(false)
    expect(figureOf(text, 'point').ok).toBe(false)
  }
})

it('times', () => {
  for (const text of hostile) expect(readMinutes(text)).toBeNull()
  expect(readMinutes('1 h 30 min')).toBe(90)
})
