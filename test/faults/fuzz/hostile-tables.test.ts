/**
 * Tables and files of instruments made to do harm: formulas for whoever opens our export (OWASP, "CSV Injection"; CWE-1236), and
 * for us what never ends, is nested without end, counts to billions or calls for other files.
 */
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import { readTable } from '../../../shared-core/exchange/panels-csv/table.ts'
import { writeTable } from '../../../shared-core/exchange/panels-csv/write-table.ts'
import { csvLines, guardedText, plainText } from '../../../shared-core/exchange/read/csv.ts'
import { readMeasuredFile } from '../../../shared-core/exchange/read/read-file.ts'
import { readXml } from '../../../shared-core/exchange/read/xml.ts'

/** What reading comes to: how many samples, or the code of its refusal; anything else is thrown. */
const read = (text: string): number | string => {
  try {
    return readMeasuredFile(text).samples.length
  } catch (error) {
    if (error instanceof Refusal) return error.code
    throw error
  }
}
const refusalOf = (work: () => unknown): Refusal => {
  try {
    work()
  } catch (error) {
    if (error instanceof Refusal) return error
    throw error
  }
  throw new Error('It was not refused.')
}

describe('what we write for spreadsheets', () => {
  /** As a spreadsheet splits a line that has no quotes in front of it, by whichever separator its language has. */
  const cellsBy = (text: string) =>
    [',', ';', '\t'].flatMap((sign) => text.split(/[\r\n]/).flatMap((line) => line.split(sign)))
  const risky = /^[ \u00A0]*[=+\-@\uFF1D\uFF0B\uFF0D\uFF20]/
  const typed = fc.string({
    unit: fc.constantFrom(
      '=',
      '+',
      '-',
      '@',
      '\t',
      '\r',
      '\n',
      "'",
      ',',
      ';',
      '"',
      ' ',
      'a',
      '1',
      '＝',
      '＠',
      '\u00A0',
    ),
    maxLength: 12,
  })

  it('never begins a formula, not behind another separator either', () => {
    fc.assert(
      fc.property(typed, (text) => {
        for (const cell of cellsBy(guardedText(text))) expect(cell).not.toMatch(risky)
        expect(guardedText(text)).not.toMatch(/^[\t\r\n]/)
      }),
      { numRuns: 3000 },
    )
    for (const text of ['=1+1', '+1', '-1', '@SUM(A1)', '\t=1', ' =1', 'rose;=HYPERLINK("http://example.org")', 'a,@b'])
      for (const cell of cellsBy(guardedText(text))) expect(cell).not.toMatch(risky)
  })

  it('is read back as it was', () => {
    fc.assert(
      fc.property(typed, (text) => {
        expect(plainText(guardedText(text))).toBe(text)
      }),
      { numRuns: 3000 },
    )
  })

  it('leaves ordinary texts as they are', () => {
    for (const text of ['teal = good', 'P-0042 Kestrel, 4 coats', "painter's", '4 : 1 in 6 : 1', 'a - b', '1,3 mm'])
      expect(guardedText(text)).toBe(text)
  })

  it('a whole table comes back, under every separator', () => {
    const cell = typed.filter((text) => text.trim() !== '')
    const table = fc.array(fc.tuple(cell, cell, cell), { minLength: 1, maxLength: 5 })
    fc.assert(
      fc.property(table, fc.constantFrom(',' as const, ';' as const, '\t' as const), (rows, separator) => {
        const text = writeTable(rows, separator).slice(1)
        const back = [...csvLines(text, separator)].map(({ cells }) => cells.map(plainText))
        expect(back).toEqual(rows)
      }),
      { numRuns: 500 },
    )
  })
})

describe('tables without measure', () => {
  const named = { separator: null, headings: null }
  const cases: [what: string, text: () => string][] = [
    ['a million columns', () => `Name,L,a,b${',x'.repeat(1_000_000)}\nA,1,2,3\n`],
    ['a line of ten million letters', () => `Name,L,a,b\n${'x'.repeat(10_000_000)},1,2,3\n`],
    ['quotes that do not end', () => `Name,L,a,b\n"${'x,'.repeat(100_000)}`],
    ['nothing but quotes', () => '"'.repeat(2_000_000)],
    [
      'cells full of quotes behind blanks',
      () => `Name,L,a,b\n${`${' '.repeat(4000)}x${'"'.repeat(500)},`.repeat(220)}\n`,
    ],
    ['nothing but line ends', () => '\n'.repeat(3_000_000)],
    ['nothing but separators', () => ',;\t'.repeat(1_000_000)],
    ['a zero sign', () => 'Name,L,a,b\nA\0,1,2,3\n'],
  ]
  it.each(cases)('%s: refused in words, as an instrument’s file and as a notebook', (_, text) => {
    expect(read(text())).toMatch(/^exchange\//)
    expect(refusalOf(() => readTable(text(), named)).code).toMatch(/^notebook\//)
  })

  it('more rows than any notebook', () => {
    const text = `Code,Title\n${'A,b\n'.repeat(60_000)}`
    expect(refusalOf(() => readTable(text, named)).code).toBe('notebook/too-large')
  })

  it('figures that are none', () => {
    for (const figure of ['NaN', 'Infinity', '1e999', '-1e999', '0x10', '1_000', '٣', '--1', '1..2', '9'.repeat(400)])
      expect(read(`Name,L,a,b\nA,${figure},0,0\n`)).toBe('exchange/bad-file')
  })
})

describe('CGATS without measure', () => {
  const table = (more: string) =>
    `CGATS.17\n${more}BEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n1 50 1 2\nEND_DATA\n`
  it.each([
    ['counts of billions', table('NUMBER_OF_SETS 999999999\n')],
    ['columns of billions', table('NUMBER_OF_FIELDS 999999999\n')],
    ['a hundred thousand columns', `CGATS.17\nBEGIN_DATA_FORMAT\n${'LAB_L '.repeat(100_000)}\nEND_DATA_FORMAT\n`],
    ['parts inside of parts', `CGATS.17\n${'BEGIN_DATA_FORMAT\n'.repeat(50_000)}`],
    ['data before their format', 'CGATS.17\nBEGIN_DATA\n1 2 3\nEND_DATA\n'],
    ['a text that does not end', table(`ORIGINATOR "${'a'.repeat(3_000_000)}\n`)],
    ['quotes without end', table(`${'"'.repeat(300_001)}\n`)],
    ['ends without beginnings', `CGATS.17\n${'END_DATA\n'.repeat(50_000)}`],
  ])('%s', (_, text) => {
    expect(read(text)).toMatch(/^exchange\//)
  })
})

describe('XML without measure', () => {
  const cxf = (inside: string) =>
    `<cc:CxF xmlns:cc="http://colorexchangeformat.com/CxF3-core"><cc:Resources>${inside}</cc:Resources></cc:CxF>`
  const laughs = Array.from({ length: 20 }, (_, i) => `<!ENTITY l${i + 1} "${`&l${i};`.repeat(10)}">`).join('')
  it.each([
    ['entities that multiply', `<!DOCTYPE x [<!ENTITY l0 "ha">${laughs}]>${cxf('&l20;')}`],
    ['a file of this computer', `<!DOCTYPE x [<!ENTITY f SYSTEM "file:///etc/passwd">]>${cxf('&f;')}`],
    ['parameter entities', `<!DOCTYPE x [<!ENTITY % p SYSTEM "http://127.0.0.1:9/x.dtd"> %p;]>${cxf('')}`],
    ['a document type from elsewhere', `<!DOCTYPE x SYSTEM "http://127.0.0.1:9/x.dtd">${cxf('')}`],
    ['an entity that nobody declared', cxf('<cc:a>&l20;</cc:a>')],
    ['a character that there is not', cxf('<cc:a>&#xD800;</cc:a>')],
    ['depth without end', '<a>'.repeat(200_000)],
    ['elements without end', cxf(`<cc:a>${'<a/>'.repeat(320_000)}</cc:a>`)],
    ['attributes without end', cxf(`<cc:a ${Array.from({ length: 100_000 }, (_, i) => `a${i}="1"`).join(' ')}/>`)],
    ['a name without end', `<${'n'.repeat(3_000_000)}/>`],
    ['a prefix that nobody declared', cxf('<zz:a/>')],
    ['an attribute twice, under two prefixes of one space', cxf('<cc:a xmlns:p="u" xmlns:q="u" p:x="1" q:x="2"/>')],
    ['another encoding than it says', `<?xml version="1.0" encoding="UTF-7"?>+ADw-a/+AD4-`],
    ['no end', cxf('').slice(0, -20)],
  ])('%s: refused, with the line', (_, text) => {
    expect(read(text)).toMatch(/^exchange\/(bad-file|unknown-format|nothing-usable)$/)
  })

  it('only the five entities of XML itself and characters by number are anything', () => {
    expect(readXml('<a>&lt;&gt;&amp;&quot;&apos;&#65;&#x42;</a>').text).toBe('<>&"\'AB')
    expect(refusalOf(() => readXml('<!DOCTYPE a [<!ENTITY e "x">]><a>&e;</a>')).message).toContain('document type')
  })
})
