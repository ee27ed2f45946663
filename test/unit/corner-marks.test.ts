/**
 * What the corners of a photo sheet say: read back, put right where cells are wrong, refused where it is anybody's square. The
 * generator is checked against the published one.
 */
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type Corner, decodeMark, encodeMark, markCells } from '../../shared-core/label/photo-sheet/corner-mark.ts'
import {
  codeBits,
  contentBits,
  generator,
  mostWrong,
  withCheck,
  withoutErrors,
} from '../../shared-core/label/photo-sheet/error-correction.ts'

const bits = (count: number) => fc.array(fc.integer({ min: 0, max: 1 }), { minLength: count, maxLength: count })
const places = (least: number, most: number) =>
  fc.uniqueArray(fc.integer({ min: 0, max: codeBits - 1 }), { minLength: least, maxLength: most })

describe('the code of a corner mark', () => {
  it('is the BCH code (127, 92) that puts five errors right', () => {
    // S. Lin, D. J. Costello, Error Control Coding (1983), appendix C: generator of (127, 92), t = 5, in octal, from memory
    const published = Array.from('624730022327').flatMap((digit) =>
      Array.from(Number(digit).toString(2).padStart(3, '0'), Number),
    )
    expect(generator.toReversed()).toEqual(published)
    expect(codeBits - contentBits).toBe(generator.length - 1)
  })

  it('puts up to five wrong bits right, wherever they are', () => {
    fc.assert(
      fc.property(bits(contentBits), places(0, mostWrong), (content, wrong) => {
        const sent = withCheck(content)
        expect(sent).toHaveLength(codeBits)
        const received = sent.map((bit, at) => (wrong.includes(at) ? 1 - bit : bit))
        expect(withoutErrors(received)).toEqual({ content, wrong: wrong.length })
      }),
    )
  })

  it('never takes six or more for what was sent with fewer', () => {
    fc.assert(
      fc.property(bits(contentBits), places(6, 30), (content, wrong) => {
        const received = withCheck(content).map((bit, at) => (wrong.includes(at) ? 1 - bit : bit))
        const read = withoutErrors(received)
        // two contents differ in at least 11 bits: what is read, if anything, is another one and near to what was received
        if (read === null) return
        expect(read.content).not.toEqual(content)
        const near = withCheck(read.content).filter((bit, at) => bit !== received[at]).length
        expect(near).toBe(read.wrong)
        expect(near).toBeLessThanOrEqual(mostWrong)
      }),
      { numRuns: 300 },
    )
  })
})

const halves = (least: number, most: number) => fc.integer({ min: 2 * least, max: 2 * most }).map((half) => half / 2)
const prints = fc
  .record({ wide: halves(100, 450), high: halves(100, 450), panelWide: halves(20, 100), panelHigh: halves(12, 100) })
  .chain(({ wide, high, panelWide, panelHigh }) =>
    fc.integer({ min: 0, max: 65_535 }).map((series) => ({
      paper: { widthMm: wide, heightMm: high },
      panel: { widthMm: panelWide, heightMm: panelHigh },
      series,
    })),
  )
const corners = fc.constantFrom<Corner>(1, 2, 3, 4)
const within = (rows: readonly string[]): number[] =>
  rows.slice(1, -1).flatMap((row) => Array.from(row.slice(1, -1), Number))
const turned = (cells: readonly number[]): number[] => {
  const side = markCells - 2
  return cells.map((_cell, at) => cells[(side - 1 - (at % side)) * side + Math.floor(at / side)]!)
}

describe('a corner mark', () => {
  it('is black all round and says which sheet and which corner, with some cells wrong too', () => {
    fc.assert(
      fc.property(prints, corners, places(0, mostWrong), (print, corner, wrong) => {
        const rows = encodeMark(print, corner)
        expect(rows).toHaveLength(markCells)
        for (const row of [
          rows[0]!,
          rows.at(-1)!,
          rows.map((one) => one[0]).join(''),
          rows.map((one) => one.at(-1)).join(''),
        ])
          expect(row).toBe('1'.repeat(markCells))
        const cells = within(rows).map((cell, at) => (wrong.includes(at) ? 1 - cell : cell))
        expect(decodeMark(cells)).toEqual({ print, corner, wrong: wrong.length })
      }),
    )
  })

  it('says sizes to half a millimetre', () => {
    const print = { paper: { widthMm: 215.9, heightMm: 279.4 }, panel: { widthMm: 101.6, heightMm: 152.4 }, series: 9 }
    expect(decodeMark(within(encodeMark(print, 3)))?.print).toEqual({
      paper: { widthMm: 216, heightMm: 279.5 },
      panel: { widthMm: 101.5, heightMm: 152.5 },
      series: 9,
    })
  })

  it('is read in one way of turning alone', () => {
    let read = 0
    fc.assert(
      fc.property(prints, corners, (print, corner) => {
        let cells = within(encodeMark(print, corner))
        for (let turn = 1; turn < 4; turn++) {
          cells = turned(cells)
          if (decodeMark(cells) !== null) read++
        }
      }),
      { numRuns: 300 },
    )
    // 900 squares that are as good as random, of which one in about 300,000 passes
    expect(read).toBeLessThanOrEqual(1)
  })

  it('is not seen in a square of anybody', () => {
    let read = 0
    fc.assert(
      fc.property(bits(codeBits), (cells) => {
        const mark = decodeMark(cells)
        if (mark === null) return
        read++
        expect(mark.print.panel.widthMm).toBeLessThanOrEqual(mark.print.paper.widthMm)
        expect(mark.print.paper.widthMm).toBeLessThanOrEqual(450)
      }),
      { numRuns: 3000 },
    )
    expect(read).toBeLessThanOrEqual(1)
    expect(decodeMark([])).toBeNull()
    expect(decodeMark(Array.from({ length: codeBits }, () => 1))).toBeNull()
    expect(decodeMark(Array.from({ length: codeBits }, () => 0))).toBeNull()
  })
})
