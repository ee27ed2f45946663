import { describe, expect, it } from 'vitest'
import { coatsOf, dayOf, orderShown } from '../../shared-core/exchange/panels-csv/cells.ts'
import { encodingOf } from '../../shared-core/exchange/panels-csv/encoding.ts'
import { proposeUses } from '../../shared-core/exchange/panels-csv/headings.ts'
import { type RowRead, readPanels } from '../../shared-core/exchange/panels-csv/read-panels.ts'
import { NotebookReading } from '../../shared-core/exchange/panels-csv/reading.ts'
import { readTable } from '../../shared-core/exchange/panels-csv/table.ts'
import { writeModel } from '../../shared-core/exchange/panels-csv/write-table.ts'
import { parseFormula } from '../../shared-core/mix/formula.ts'
import { formulaInWords } from '../../shared-core/mix/formula-words.ts'
import type { MaterialRef } from '../../shared-core/records/mixture.ts'
import {
  type NotebookAnswers,
  type NotebookChoices,
  noNotebookAnswers,
  usualNotebookChoices,
} from '../../shared-core/records/notebook.ts'

const shelf: MaterialRef[] = [
  { id: 'm1', name: 'Damson', kind: 'concentrate' },
  { id: 'm2', name: 'clear carrier', kind: 'carrier' },
]
type Wish = { answers?: Partial<NotebookAnswers>; choices?: Partial<NotebookChoices>; taken?: string[] }

function read(text: string, { answers = {}, choices = {}, taken = [] }: Wish = {}) {
  const given = { ...noNotebookAnswers, ...answers }
  const table = readTable(text, given)
  const uses = proposeUses(
    table,
    shelf.map(({ name }) => name),
  )
  const plan = { uses, answers: given, choices: { ...usualNotebookChoices, ...choices }, shelf, today: '2026-11-26' }
  const all = new NotebookReading(table, plan)
  const rows = [...readPanels(all, new Set(taken.map((code) => code.toLowerCase())))]
  return { table, uses, rows, asked: [...all.asked.keys()] }
}
const only = (text: string, wish?: Wish): RowRead => read(text, wish).rows[0] as RowRead
const candyOf = (row: RowRead) => row.draft.layers.find((layer) => layer.kind === 'candy')?.mixture ?? null
const inWords = (row: RowRead) => {
  const mixture = candyOf(row)
  return mixture && formulaInWords(mixture, { decimal: 'point' }).join('; ')
}
const byVolume = { answers: { basis: 'volume' } } as const

describe('how a file is written', () => {
  const bytes = (text: string, at: 'le' | 'be') =>
    Uint8Array.from(text.split('').flatMap((sign) => (at === 'le' ? [sign.charCodeAt(0), 0] : [0, sign.charCodeAt(0)])))
  it('is told by its mark, its zeros, or its bytes', () => {
    expect(encodingOf(Uint8Array.from([0xef, 0xbb, 0xbf, 65]))).toBe('utf-8')
    expect(encodingOf(Uint8Array.from([0xff, 0xfe, 65, 0]))).toBe('utf-16le')
    expect(encodingOf(Uint8Array.from([0xfe, 0xff, 0, 65]))).toBe('utf-16be')
    expect(encodingOf(bytes('Code;Ground\r\nP-1;gold', 'le'))).toBe('utf-16le')
    expect(encodingOf(bytes('Code;Ground\r\nP-1;gold', 'be'))).toBe('utf-16be')
    expect(encodingOf(new TextEncoder().encode('Café, 5 µm'))).toBe('utf-8')
    // 0xe9 is é in Windows-1252 and begins three bytes in UTF-8
    expect(encodingOf(Uint8Array.from([67, 97, 102, 0xe9, 44, 32]))).toBe('windows-1252')
  })
})

describe('how a table is taken apart', () => {
  it.each([
    ['comma', 'Code,Ground,Coats\nA-1,"gold, fine",4\n'],
    ['semicolon', 'Code;Ground;Coats\r\nA-1;gold, fine;4\r\n'],
    ['tab', 'Code\tGround\tCoats\rA-1\tgold, fine\t4\r'],
  ] as const)('finds %s and any line end', (separator, text) => {
    const { table, rows } = read(text)
    expect(table.separator).toBe(separator)
    expect(rows[0]?.draft).toMatchObject({ code: 'A-1', steps: [{ coats: 4 }] })
    expect(rows[0]?.draft.layers[0]).toMatchObject({ kind: 'ground', name: 'gold, fine' })
  })
  it('passes over a title above the headings, and counts rows as a spreadsheet does', () => {
    const { rows, table } = read('My notebook;;\n;;\nNo.;Ground;Coats\nA-1;gold;0\n;;\nA-2;"two\nlines";0\n')
    expect(table.headings).toEqual(['No.', 'Ground', 'Coats'])
    expect(rows.map(({ row }) => row)).toEqual([4, 6])
  })
  it('takes a first line like sep=; and tables without headings', () => {
    expect(read('sep=;\nCode;Ground\nA-1;gold, fine\n').table.headings).toEqual(['Code', 'Ground'])
    const bare = readTable('A-1,gold,4\nA-2,silver,4\n', { separator: null, headings: null })
    expect(bare).toMatchObject({ hasHeadings: false, headings: ['Column 1', 'Column 2', 'Column 3'] })
    expect(bare.rows).toHaveLength(2)
  })
  it.each([
    ['a picture', '\u0089PNG\r\n\u001A\u0000\u0000'],
    ['one endless line', 'a'.repeat(200_000)],
    ['a quote that never ends', `Code,Ground\nA-1,"gold\n${'x,\n'.repeat(9000)}`],
    ['nothing', '  \n \n'],
    ['headings alone', 'Code,Ground,Coats\n'],
  ])('refuses %s in words', (_, text) => {
    expect(() => readTable(text, { separator: null, headings: null })).toThrow(
      expect.objectContaining({ code: expect.stringMatching(/^notebook\//), remedy: expect.stringMatching(/\w/) }),
    )
  })
})

describe('what columns are', () => {
  it('goes by headings as people write them', () => {
    const headings = 'Panel No.,Name,Base,Dye 1,Parts,Dye 2,Parts,Binder,Reducer %,Cts,Clear,Date,By,Remarks,Booth'
    const cells = 'A-1,Dusk,gold,Damson,4,Bracken,1,6:1,10,4,y,2024-05-17,Wren,fine,north'
    expect(read(`${headings}\n${cells}\n`).uses).toEqual(
      'code title ground candy parts candy parts carrier reducer coats cleared sprayed-on sprayed-by notes notes'.split(
        ' ',
      ),
    )
  })
  it('takes “clear” for yes and no, a name, or the carrier’s parts, by what stands in it', () => {
    expect(read('Code,Clear\nA-1,yes\nA-2,n\n').uses[1]).toBe('cleared')
    expect(read('Code,Clear\nA-1,gloss clear\n').uses[1]).toBe('clear-name')
    expect(read('Code,Candy,Parts,Clear\nA-1,Damson,4,6:1\n').uses[3]).toBe('carrier-parts')
  })
  it('knows a material of the shelf over its parts', () => {
    expect(read('Code,Damson,Clear carrier\nA-1,1,6\n').uses).toEqual(['code', 'named-parts', 'named-parts'])
  })
  it('takes L, a and b only together', () => {
    expect(read('Code,L*,a*,b*\nA-1,50,1,2\n').uses.slice(1)).toEqual(['lab-l', 'lab-a', 'lab-b'])
    expect(read('Code,a,b\nA-1,1,2\n').uses.slice(1)).toEqual(['notes', 'notes'])
  })
})

describe('coats', () => {
  it.each([
    ['4', [4]],
    ['4 coats', [4]],
    ['2-6', [2, 3, 4, 5, 6]],
    ['0–3', [0, 1, 2, 3]],
    ['2,4,6', [2, 4, 6]],
    ['2; 4; 6', [2, 4, 6]],
    ['2/4', [2, 4]],
    ['1 2 4', [1, 2, 4]],
    ['2 cross coats', [4]],
    ['2x', [4]],
    ['2x + 1', [5]],
    ['½', [0.5]],
    ['1.5', [1.5]],
  ])('%s', (text, steps) => {
    expect(coatsOf(text, 'point')).toEqual({ ok: true, value: steps })
  })
  it.each(['four', '2,2', '70', 'n/a', '3 blobs', '-1', '0-60'])('does not guess at %s', (text) => {
    expect(coatsOf(text, 'point').ok).toBe(false)
  })
  it('asks where “1,5” may be a half or two steps', () => {
    expect(coatsOf('1,5', null).ok).toBe(false)
    expect(coatsOf('1,5', 'comma')).toEqual({ ok: true, value: [1.5] })
    expect(coatsOf('1,5', 'point')).toEqual({ ok: true, value: [1, 5] })
  })
})

describe('days', () => {
  it.each([
    ['2024-05-17', null],
    ['2024-05-17 08:30', null],
    ['17 May 2024', null],
    ['May 17th, 2024', null],
    ['17-May-24', null],
    ['17.5.2024', null],
    ['5/17/24', null],
  ] as const)('%s says itself', (text, order) => {
    expect(dayOf(text, order, '2026-11-26')).toEqual({ ok: true, value: '2024-05-17' })
  })
  it('reads figures that can be read two ways only in the order said', () => {
    expect(orderShown('03/04/2024')).toBe('open')
    expect(dayOf('03/04/2024', null, '2026-11-26').ok).toBe(false)
    expect(dayOf('03/04/2024', 'day-first', '2026-11-26')).toEqual({ ok: true, value: '2024-04-03' })
    expect(dayOf('03/04/2024', 'month-first', '2026-11-26')).toEqual({ ok: true, value: '2024-03-04' })
  })
  it.each(['31/02/2024', '45429', '2024', 'last spring', '2024-13-01'])('refuses %s', (text) => {
    expect(dayOf(text, 'day-first', '2026-11-26').ok).toBe(false)
  })
  it('takes no short year from the future', () => {
    expect(dayOf('17 May 98', null, '2026-11-26')).toEqual({ ok: true, value: '1998-05-17' })
  })
  it('asks once for the table, unless one date tells', () => {
    const open = read('Code,Date\nA-1,03/04/2024\nA-2,05/06/2024\n')
    expect(open.asked).toEqual(['dates'])
    expect(open.rows.every((row) => row.waiting)).toBe(true)
    const told = read('Code,Date\nA-1,03/04/2024\nA-2,15/06/2024\n')
    expect(told.asked).toEqual([])
    expect(told.rows.map((row) => row.draft.sprayedOn)).toEqual(['2024-04-03', '2024-06-15'])
    // two that contradict each other tell nothing
    expect(read('Code,Date\nA-1,03/04/2024\nA-2,15/06/2024\nA-3,06/15/2024\n').asked).toEqual(['dates'])
  })
})

describe('what is sprayed', () => {
  const asTyped = (text: string) => {
    const parsed = parseFormula(text, { known: shelf })
    return parsed.ok ? parsed.mixture : null
  }
  it('reads formulas as the form does', () => {
    const row = only(
      'Code;Formula;Coats\nA-1;4 parts Damson, 1 part Bracken in 20 carrier, 10 % slow reducer;4\n',
      byVolume,
    )
    expect(candyOf(row)).toEqual(asTyped('4 parts Damson, 1 part Bracken in 20 carrier, 10 % slow reducer'))
    expect(row.remarks.some(({ message }) => /^Read as 20 .* to 1 of the blend/.test(message))).toBe(true)
  })
  it('puts a formula together from names and parts: 4 : 1 in 6 : 1 carrier', () => {
    const head = 'Code;Candy 1;Parts 1;Candy 2;Parts 2;Carrier;Reducer;Coats'
    const row = only(`${head}\nA-1;Damson;4;Bracken;1;6:1 clear carrier;10 % slow;4\n`, byVolume)
    expect(candyOf(row)).toEqual(asTyped('4 Damson : 1 Bracken in 6:1 clear carrier, 10 % slow reducer on top'))
  })
  it('reads names and a ratio side by side', () => {
    const row = only('Code;Candy;Parts;Coats\nA-1;Damson + Bracken;4:1;4\n', byVolume)
    expect(candyOf(row)).toEqual(asTyped('4:1 Damson + Bracken'))
  })
  it('reads parts under the names of materials', () => {
    const row = only('Code;Damson;Clear carrier;Coats\nA-1;1;6;4\n', byVolume)
    expect(inWords(row)).toBe('1 Damson in 6 clear carrier, by volume')
  })
  it('asks what a bare figure for the carrier means, and takes the answer', () => {
    const text = 'Code;Candy 1;Parts 1;Candy 2;Parts 2;Carrier;Coats\nA-1;Damson;4;Bracken;1;20;4\n'
    const open = read(text, byVolume)
    expect(open.asked).toContain('carrier')
    expect(open.rows[0]?.waiting).toBe(true)
    const same = only(text, { answers: { basis: 'volume', carrier: 'same-parts' } })
    expect(candyOf(same)?.parts.map(({ amount }) => amount)).toEqual([4, 1, 20])
    const toOne = only(text, { answers: { basis: 'volume', carrier: 'to-one-of-blend' } })
    expect(inWords(toOne)).toBe('4 Damson : 1 Bracken, by volume; 1 blend in 20 clear carrier, by volume')
  })
  it('asks by volume or by mass, where neither is said', () => {
    expect(read('Code;Formula;Coats\nA-1;4 Damson : 1 Bracken;4\n').asked).toEqual(['basis'])
    expect(read('Code;Formula;Coats\nA-1;4 Damson : 1 Bracken, by mass;4\n').asked).toEqual([])
    expect(
      candyOf(only('Code;Formula;Coats\nA-1;4 Damson : 1 Bracken;4\n', { answers: { basis: 'mass' } }))?.basis,
    ).toBe('mass')
  })
  it('refuses a formula that it does not understand, or keeps it in the notes', () => {
    const text = 'Code;Formula;Coats\nA-1;blobs of red & a bit;4\n'
    const refused = only(text)
    expect(refused.refused).toBe(true)
    expect(refused.remarks[0]).toMatchObject({ column: 1, refused: true })
    expect(refused.remarks[0]?.remedy).toMatch(/\w/)
    const kept = only(text, { choices: { unread: 'to-notes' } })
    expect(kept.refused).toBe(false)
    expect(kept.draft.notes).toBe('Formula: blobs of red & a bit')
    expect(kept.draft.layers).toMatchObject([{ kind: 'candy', mixture: null, coats: 4 }])
  })
  it('takes the kind, or the shelf’s material, that the painter says', () => {
    const text = 'Code;Formula;Coats\nA-1;4 Damsen : 1 Frost, by volume;4\n'
    const materials: NotebookChoices['materials'] = [
      { name: 'Damsen', kind: 'concentrate', materialId: 'm1' },
      { name: 'Frost', kind: 'pearl', materialId: null },
    ]
    expect(candyOf(only(text, { choices: { materials } }))?.parts.map(({ material }) => material)).toEqual([
      { id: 'm1', name: 'Damsen', kind: 'concentrate' },
      { id: null, name: 'Frost', kind: 'pearl' },
    ])
  })
  it('assumes no coats where none are written', () => {
    const text = 'Code;Formula\nA-1;4 Damson : 1 Bracken, by volume\n'
    expect(only(text).refused).toBe(true)
    expect(only(text, { answers: { coats: 4 } }).draft.steps).toMatchObject([{ coats: 4 }])
    // bare ground has none
    expect(only('Code;Ground\nA-1;gold\n').draft.steps).toMatchObject([{ coats: 0 }])
  })
})

describe('figures', () => {
  it('have one decimal sign in a table', () => {
    const row = only('Code;Tip mm;L;a;b\nA-1;1,3;45,2;-3,5;10\n', {
      answers: { illuminant: 'D50', observer: '2', geometry: '45:0' },
    })
    expect(row.colours).toEqual([{ coats: 0, lab: { l: 45.2, a: -3.5, b: 10 }, bound90: null }])
    expect(read('Code;L;a;b\nA-1;45,2;3.5;10\n').asked).toContain('decimal')
    const said = only('Code;L;a;b\nA-1;45,2;3.5;10\n', { answers: { decimal: 'comma' } })
    expect(said.remarks[0]?.message).toContain('another decimal sign')
  })
  it('for several steps stand under the coats that headings name', () => {
    const text = 'Code;Formula;Coats;L 2;a 2;b 2;L 4;a 4;b 4\nA-1;Damson;2,4;50;1;2;40;3;4\n'
    const row = only(text, { answers: { illuminant: 'D65', observer: '10', geometry: 'd:8-included' } })
    expect(row.colours.map(({ coats, lab }) => [coats, lab.l])).toEqual([
      [2, 50],
      [4, 40],
    ])
  })
  it('ask which step one colour belongs to, and which unit a bare pressure has', () => {
    expect(read('Code;Formula;Coats;L;a;b\nA-1;Damson;2,4;50;1;2\n').asked).toContain('labStep')
    expect(read('Code;Pressure\nA-1;16\n').asked).toEqual(['pressure'])
    const psi = only('Code;Formula;Coats;Pressure (psi)\nA-1;Damson;4;16\n')
    // 16 psi is 1.10 bar: 1 psi is 6.894757 kPa (NIST SP 811, appendix B)
    expect(psi.draft.layers[0]?.gunSetup?.inletKpa).toBeCloseTo(16 * 6.894757, 3)
  })
})

describe('codes', () => {
  const text = 'Code,Ground\nA-1,gold\na-1,silver\nB-2,gold\n'
  it('that are there already leave their rows out', () => {
    const { rows } = read(text, { taken: ['b-2'] })
    expect(rows.map(({ refused, duplicate }) => [refused, duplicate])).toEqual([
      [false, false],
      [true, true],
      [true, true],
    ])
  })
  it('or give the panel a new one, with the notebook’s in its notes', () => {
    const { rows } = read(text, { taken: ['b-2'], choices: { duplicates: 'new-code' } })
    expect(rows.map(({ refused, draft }) => [refused, draft.code, draft.notes])).toEqual([
      [false, 'A-1', ''],
      [false, null, 'Code in the notebook: a-1'],
      [false, null, 'Code in the notebook: B-2'],
    ])
  })
})

describe('a panel in several rows', () => {
  const head = 'Code;Title;Formula;Coats;L;a;b;Notes'
  const colour = { answers: { illuminant: 'D50', observer: '2', geometry: '45:0' } } as const
  it('is one, where only coats, colour and notes differ or the rest is left empty', () => {
    const formula = '4 Damson : 1 Bracken, by volume'
    const { rows } = read(
      `${head}\nA-1;Dusk;${formula};4;40;1;2;\nA-1;;;2;55;1;2;thin\nA-1;Dusk;${formula};6;;;;\n`,
      colour,
    )
    expect(rows).toHaveLength(1)
    expect(rows[0]).toMatchObject({ row: 2, rows: 3, refused: false, duplicate: false })
    expect(rows[0]?.draft.steps.map(({ coats, notes }) => [coats, notes])).toEqual([
      [2, 'thin'],
      [4, ''],
      [6, ''],
    ])
    expect(rows[0]?.draft.layers).toMatchObject([{ kind: 'candy', coats: 6 }])
    expect(rows[0]?.colours.map(({ coats, lab }) => [coats, lab.l])).toEqual([
      [4, 40],
      [2, 55],
    ])
    expect(rows[0]?.remarks.map(({ row, refused }) => [row, refused])).toEqual([
      [3, false],
      [4, false],
    ])
  })
  it.each([
    ['another formula', 'A-1;;5 Damson : 1 Bracken, by volume;2;;;;'],
    ['the same coats', 'A-1;;;4;;;;'],
    ['another title', 'A-1;Dawn;;2;;;;'],
  ])('is a code given twice with %s', (_, line) => {
    const { rows } = read(`${head}\nA-1;Dusk;4 Damson : 1 Bracken, by volume;4;;;;\n${line}\n`)
    expect(rows.map(({ duplicate, refused }) => [duplicate, refused])).toEqual([
      [false, false],
      [true, true],
    ])
  })
})

describe('everything else', () => {
  it('keeps what a spreadsheet would run as the text it is', () => {
    const row = only('Code,Title,Notes\nA-1,=cmd|calc,+41 79\n')
    expect(row.draft).toMatchObject({ title: '=cmd|calc', notes: '+41 79' })
  })
  it('puts what nothing is known of into the notes, under its heading', () => {
    expect(only('Code,Booth,Notes\nA-1,north,dry edge\n').draft.notes).toBe('Booth: north\ndry edge')
  })
  it('refuses what is too long with its column', () => {
    const row = only(`Code,Title\n${'x'.repeat(30)},ok\n`)
    expect(row.remarks[0]).toMatchObject({ column: 0, refused: true, message: '“Code” is longer than 24 characters.' })
  })
  it('takes a text in the place of yes or no as the clear’s name, and says so', () => {
    const row = only('Code,Cleared\nA-1,yes\nA-2,no\nA-3,no\nA-4,y\nA-5,matt clear\n')
    expect(row.draft.layers).toMatchObject([{ kind: 'clear', name: '' }])
    const rows = read('Code,Cleared\nA-1,yes\nA-2,no\nA-3,no\nA-4,y\nA-5,matt clear\n').rows
    expect(rows[4]?.draft.layers).toMatchObject([{ kind: 'clear', name: 'matt clear' }])
    expect(rows[4]?.remarks).toHaveLength(1)
  })
  it.each(['comma', 'point'] as const)(
    'reads its own model file (decimal %s) without a question or a remark',
    (decimal) => {
      const { rows, uses, asked } = read(writeModel(decimal))
      expect(uses).toEqual(
        'code title ground formula coats cleared clear-name sprayed-on sprayed-by substrate gun tip pressure tags notes'.split(
          ' ',
        ),
      )
      expect(asked).toEqual([])
      expect(rows.flatMap(({ remarks }) => remarks)).toEqual([])
      expect(rows[0]?.draft).toMatchObject({
        tags: ['plum', 'show'],
        steps: [{ coats: 2 }, { coats: 3 }, { coats: 4 }],
      })
      expect(rows[0]?.draft.layers[1]?.gunSetup).toMatchObject({ gun: 'HL-3', tipMm: 1.3, inletKpa: 110 })
      expect(rows[2]?.draft).toMatchObject({ code: null, steps: [{ coats: 4 }], sprayedOn: '2024-06-02' })
    },
  )
})
