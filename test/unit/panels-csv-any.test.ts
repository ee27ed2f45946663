import fc from 'fast-check'
import { expect, it } from 'vitest'
import { readPanels } from '../../shared-core/exchange/panels-csv/read-panels.ts'
import { NotebookReading } from '../../shared-core/exchange/panels-csv/reading.ts'
import type { Table } from '../../shared-core/exchange/panels-csv/table.ts'
import { ColumnUse, noNotebookAnswers, usualNotebookChoices } from '../../shared-core/records/notebook.ts'
import { PanelDraft } from '../../shared-core/records/panel.ts'

const usual =
  `4|4,5|1,250|-3|0|2-6|2,4,6|1,5|3x + 1|6:1|20|10 % slow|1/0|1e9|½|03/04/2024|2024-02-30|17 May 24|y|no|Damson|
Damson + Bracken|4:1|16 psi|70 °F|∞|4 Damson : 1 Bracken in 6:1 carrier, 10 % reducer|5 g/L pearl in carrier|=cmd|${'x'.repeat(9000)}|`
    .split('|')
    .map((cell) => cell.trim())

/** Cells as they come: what fits, what nearly fits, and anything at all. */
const cell = fc.oneof(
  fc.constantFrom(...usual),
  fc.string({ unit: 'grapheme', maxLength: 24 }),
  fc.stringMatching(/^[0-9 :;,.%/+x-]{0,10}$/),
)
const answers = fc.record({
  decimal: fc.constantFrom('comma', 'point', null),
  dates: fc.constantFrom('day-first', 'month-first', null),
  basis: fc.constantFrom('mass', null),
  carrier: fc.constantFrom('same-parts', 'to-one-of-blend', null),
  coats: fc.constantFrom(3, null),
  pressure: fc.constantFrom('psi', null),
  labStep: fc.constantFrom('most', 'fewest', null),
})
const sheet = fc
  .array(fc.constantFrom(...ColumnUse.options), { minLength: 1, maxLength: 10 })
  .chain((uses) =>
    fc.tuple(
      fc.constant(uses),
      fc.array(fc.array(cell, { maxLength: uses.length + 1 }), { minLength: 1, maxLength: 8 }),
    ),
  )

it('reads any table under any columns: what goes in is a panel, and what does not is refused with words', () => {
  fc.assert(
    fc.property(
      sheet,
      answers,
      fc.constantFrom('leave-out' as const, 'to-notes' as const),
      fc.constantFrom('leave-out' as const, 'new-code' as const),
      ([uses, rows], given, unread, duplicates) => {
        const table: Table = {
          separator: 'tab',
          hasHeadings: true,
          headings: uses.map((use, i) => `${use} ${i}`),
          rows: rows.map((cells, i) => ({ row: i + 2, cells })),
        }
        const all = new NotebookReading(table, {
          uses,
          answers: { ...noNotebookAnswers, ...given },
          choices: { ...usualNotebookChoices, unread, duplicates },
          shelf: [{ id: 'm1', name: 'Damson', kind: 'concentrate' }],
          today: '2026-11-26',
        })
        let count = 0
        for (const read of readPanels(all, new Set(['4']))) {
          count += read.rows
          expect(read.remarks.every(({ message }) => message !== '')).toBe(true)
          expect(read.remarks.filter(({ refused }) => refused).every(({ remedy }) => remedy !== '')).toBe(true)
          if (read.refused) continue
          expect(PanelDraft.safeParse(read.draft).error).toBeUndefined()
          const coats = read.draft.steps.map((step) => step.coats)
          expect(read.colours.every((colour) => coats.includes(colour.coats))).toBe(true)
        }
        expect(count).toBeLessThanOrEqual(rows.length)
      },
    ),
    { numRuns: 1500 },
  )
})
