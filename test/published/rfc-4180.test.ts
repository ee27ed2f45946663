/**
 * Y. Shafranovich, "Common Format and MIME Type for Comma-Separated Values (CSV) Files", RFC 4180, October 2005, section 2:
 * the examples of its rules 1 to 7, as printed there (CRLF stands for the two characters).
 */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { isUtf8 } from '../../shared-core/exchange/panels-csv/encoding.ts'
import { noText, readTable } from '../../shared-core/exchange/panels-csv/table.ts'
import { writeTable } from '../../shared-core/exchange/panels-csv/write-table.ts'

const read = (printed: string, headings = false) => {
  const table = readTable(printed.replaceAll(/ ?CRLF\n?/g, '\r\n'), { separator: null, headings })
  return { ...table, cells: table.rows.map((row) => row.cells) }
}
const plain = [
  ['aaa', 'bbb', 'ccc'],
  ['zzz', 'yyy', 'xxx'],
]

describe('the examples of RFC 4180', () => {
  it('1: each record on a line of its own', () => {
    expect(read('aaa,bbb,ccc CRLF\nzzz,yyy,xxx CRLF\n').cells).toEqual(plain)
  })
  it('2: the last record may lack its line break', () => {
    expect(read('aaa,bbb,ccc CRLF\nzzz,yyy,xxx').cells).toEqual(plain)
  })
  it('3: a line of headings', () => {
    const table = read('field_name,field_name,field_name CRLF\naaa,bbb,ccc CRLF\nzzz,yyy,xxx CRLF\n', true)
    expect(table.headings).toEqual(['field_name', 'field_name', 'field_name'])
    expect(table.cells).toEqual(plain)
  })
  it('4: as many fields as there are', () => {
    expect(read('aaa,bbb,ccc').cells).toEqual([['aaa', 'bbb', 'ccc']])
  })
  it('5: fields in quotes', () => {
    expect(read('"aaa","bbb","ccc" CRLF\nzzz,yyy,xxx').cells).toEqual(plain)
  })
  it('6: line breaks inside of quotes', () => {
    expect(read('"aaa","b CRLF\nbb","ccc" CRLF\nzzz,yyy,xxx').cells).toEqual([['aaa', 'b\r\nbb', 'ccc'], plain[1]])
  })
  it('7: a quote inside of quotes is doubled', () => {
    expect(read('"aaa","b""bb","ccc"').cells).toEqual([['aaa', 'b"bb', 'ccc']])
  })
})

describe('what is written is read back', () => {
  const cell = fc.oneof(
    fc.string({ unit: 'grapheme', maxLength: 12 }),
    fc.stringMatching(/^[,;\t"'=+\-@\r\n a]{0,8}$/),
    fc.constantFrom('=cmd|calc', "'=x", '-5', '+1', '@a', ' padded ', '"', '""', 'a\r\nb', 'a\rb'),
  )
  const table = fc
    .integer({ min: 2, max: 6 })
    .chain((width) => fc.array(fc.array(cell, { minLength: width, maxLength: width }), { minLength: 1, maxLength: 12 }))
    // no text: such a file is refused as a whole
    .filter((rows) => !rows.flat().some((text) => noText.test(text)))

  it.each([',', ';', '\t'] as const)('with %j between the columns', (separator) => {
    const named = ({ ',': 'comma', ';': 'semicolon', '\t': 'tab' } as const)[separator]
    fc.assert(
      fc.property(table, (rows) => {
        const kept = rows.filter((cells) => cells.some((text) => text.trim() !== ''))
        fc.pre(kept.length > 0)
        const back = readTable(writeTable(rows, separator), { separator: named, headings: false })
        expect(back.rows.map(({ cells }) => cells)).toEqual(kept)
      }),
      { numRuns: 400 },
    )
  })
})

describe('well-formed UTF-8, against the platform’s own decoder (WHATWG Encoding, fatal)', () => {
  const platform = (bytes: Uint8Array): boolean => {
    try {
      new TextDecoder('utf-8', { fatal: true }).decode(bytes)
      return true
    } catch {
      return false
    }
  }
  it('agrees on any bytes, and on texts with one byte altered', () => {
    const text = fc
      .string({ unit: 'binary', minLength: 1, maxLength: 20 })
      .map((said) => new TextEncoder().encode(said))
    const altered = fc.tuple(text, fc.nat(), fc.integer({ min: 0, max: 255 })).map(([bytes, at, value]) => {
      bytes[at % bytes.length] = value
      return bytes
    })
    fc.assert(
      fc.property(fc.oneof(text, altered, fc.uint8Array({ maxLength: 6 })), (bytes) => {
        expect(isUtf8(bytes)).toBe(platform(bytes))
      }),
      { numRuns: 3000 },
    )
  })
})
