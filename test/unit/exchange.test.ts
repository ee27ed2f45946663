/** Files of measurements: out and in again to the digits written, and whatever else somebody may hand over. */
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { spectrumToLab } from '../../shared-core/colour/spectrum.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { mostSamples } from '../../shared-core/exchange/measured.ts'
import { guardedText } from '../../shared-core/exchange/read/csv.ts'
import { readMeasuredFile } from '../../shared-core/exchange/read/read-file.ts'
import { parseFigure } from '../../shared-core/exchange/read/words.ts'
import { noAnswers, settle } from '../../shared-core/exchange/settle.ts'
import { writeCgats } from '../../shared-core/exchange/write/cgats.ts'
import { writeCsv } from '../../shared-core/exchange/write/csv.ts'
import { writeCxf } from '../../shared-core/exchange/write/cxf.ts'
import { type ExportRow, labDigits, reflectanceDigits } from '../../shared-core/exchange/write/rows.ts'
import { Illuminant, Observer, Stage, View } from '../../shared-core/records/colour.ts'

const about = { createdAt: '2031-05-21T09:30:00.000Z' }
const writers: Record<string, (rows: ExportRow[]) => string> = {
  CGATS: (rows) => writeCgats(rows, about),
  CxF3: (rows) => writeCxf(rows, about),
  'CSV with points': (rows) => writeCsv(rows, { decimal: 'point' }),
  'CSV with commas': (rows) => writeCsv(rows, { decimal: 'comma' }),
}

/** What a spreadsheet would run, what would end a cell, a text or an element, and letters from everywhere. */
const hostile = [
  '=1+1',
  '+1',
  '-2',
  '@SUM(A1)',
  "'=x",
  "''-1",
  '"',
  '""',
  'a"b',
  ';',
  ',',
  '#',
  '<b>',
  '&amp;',
  ']]>',
  'Grün 緑',
]
const anyName = fc
  .oneof(fc.constantFrom(...hostile), fc.string({ unit: 'grapheme', maxLength: 30 }))
  .map((text) => text.replaceAll(/\p{Cc}|[\p{Cs}\uFFFE\uFFFF]/gu, '').trim())
  .filter((text) => text !== '')

const anyLab = fc.record({
  l: fc.double({ min: 0, max: 130, noNaN: true }),
  a: fc.double({ min: -120, max: 120, noNaN: true }),
  b: fc.double({ min: -120, max: 120, noNaN: true }),
})
const anySpectrum = fc
  .constantFrom([400, 10, 31], [380, 5, 81], [400, 20, 16], [376.25, 3.75, 110], [360, 10, 40])
  .chain(([startNm = 0, stepNm = 1, count = 4]) =>
    fc
      .array(fc.double({ min: 0, max: 1.2, noNaN: true }), { minLength: count, maxLength: count })
      .map((values) => ({ startNm, stepNm, values })),
  )
const row: fc.Arbitrary<ExportRow> = fc
  .record({
    name: anyName,
    lab: anyLab,
    illuminant: fc.constantFrom(...Illuminant.options),
    observer: fc.constantFrom(...Observer.options),
    geometry: fc.constantFrom(
      '45:0' as const,
      '0:45' as const,
      'd:8-included' as const,
      'd:8-excluded' as const,
      'multi-angle' as const,
    ),
    view: fc.constantFrom(...View.options),
    stage: fc.constantFrom(...Stage.options),
    level: fc.constant('instrument' as const),
    bound90: fc.double({ min: 0.1, max: 9, noNaN: true }),
    spectrum: fc.option(anySpectrum, { nil: null }),
    instrument: fc.option(anyName, { nil: null }),
    takenAt: fc
      .date({ min: new Date('1990-01-01'), max: new Date('2090-01-01'), noInvalidDate: true })
      .map((d) => d.toISOString()),
  })
  // without angles there is only the face; a spectrum is D50, 2°
  .map((made) => ({
    ...made,
    view: made.geometry === 'multi-angle' ? made.view : 'face',
    ...(made.spectrum
      ? {
          illuminant: 'D50' as const,
          observer: '2' as const,
          lab: spectrumToLab(made.spectrum.values, { ...made.spectrum, count: made.spectrum.values.length }),
        }
      : {}),
  }))

/** What a reader can know of a row: figures to their digits, a spectrum's Lab from the digits of the spectrum. */
function asWritten(made: ExportRow) {
  const { illuminant, observer, geometry, view } = made
  const to = (digits: number) => (value: number) => Number(value.toFixed(digits)) + 0
  const spectrum = made.spectrum && { ...made.spectrum, values: made.spectrum.values.map(to(reflectanceDigits)) }
  const round = to(labDigits)
  const lab = spectrum
    ? spectrumToLab(spectrum.values, { ...spectrum, count: spectrum.values.length })
    : { l: round(made.lab.l), a: round(made.lab.a), b: round(made.lab.b) }
  return { lab, illuminant, observer, geometry, view, spectrum }
}

describe.each(Object.entries(writers))('%s', (_format, write) => {
  it('comes back to the digits written', () => {
    fc.assert(
      fc.property(fc.array(row, { minLength: 1, maxLength: 6 }), (made) => {
        // one name for each, so that each is found again
        const rows = made.map((one, i) => ({ ...one, name: `${one.name} ${i}` }))
        const { samples, questions } = settle(readMeasuredFile(write(rows)), noAnswers)
        expect(questions).toEqual([])
        expect(samples).toHaveLength(rows.length)
        const found = samples.map(({ name, measures: [measure] }) => ({ name, measure }))
        for (const one of rows) {
          const { colour, instrument, takenAt } = found.find((other) => other.name === one.name)?.measure ?? {}
          expect({ name: one.name, colour, instrument, takenAt }).toEqual({
            name: one.name,
            colour: { ...asWritten(one), cautions: [] },
            instrument: one.instrument,
            takenAt: one.takenAt,
          })
        }
      }),
      { numRuns: 60 },
    )
  })

  it('puts the angles of one name together again', () => {
    const base = fc.sample(row, 1)[0]!
    const rows = View.options.map((view) => ({ ...base, name: 'flake', geometry: 'multi-angle' as const, view }))
    const { samples } = settle(readMeasuredFile(write(rows)), { ...noAnswers, illuminant: 'D50', observer: '2' })
    expect(samples.map(({ measures }) => measures.map(({ colour }) => colour?.view))).toEqual([View.options])
  })

  it('says of a colour from a photo that it is none of an instrument', () => {
    const base = fc.sample(row, 1)[0]!
    const { samples } = settle(readMeasuredFile(write([{ ...base, geometry: 'photo' }])), noAnswers)
    expect(samples[0]?.measures[0]?.colour).toBeNull()
    expect(samples[0]?.measures[0]?.notTaken?.message).toContain('photo')
  })
})

describe('a cell of a spreadsheet', () => {
  it('never begins a formula (OWASP, CSV injection: = + - @ tab and carriage return)', () => {
    const rows = hostile.map((text) => ({ ...fc.sample(row, 1)[0]!, name: text, spectrum: null }))
    const text = writeCsv(rows, { decimal: 'point' })
    for (const line of text.split('\r\n')) expect(line.replace(/^\uFEFF?"?/, '')).not.toMatch(/^[=+\-@\t\r]/)
    expect(guardedText('=1+1')).toBe("'=1+1")
    expect(guardedText('teal = good')).toBe('teal = good')
  })
})

/** Read wholly, or refused in words: anything else is named. */
function wrongWith(text: string): string | null {
  const answers = { illuminant: 'D50', observer: '2', geometry: '45:0', scale: 'fraction', view: 'face' } as const
  try {
    const measures = settle(readMeasuredFile(text), answers).samples.flatMap((sample) => sample.measures)
    const undecided = measures.some(({ colour, notTaken }) => (colour === null) !== (notTaken !== null))
    const odd = measures.some(({ colour }) => colour && !Object.values(colour.lab).every(Number.isFinite))
    return undecided ? 'a measure is neither taken nor refused' : odd ? 'a Lab is no number' : null
  } catch (error) {
    return error instanceof Refusal ? null : String(error)
  }
}

const refusalOf = (text: string): Refusal => {
  try {
    readMeasuredFile(text)
  } catch (error) {
    if (error instanceof Refusal) return error
    throw error
  }
  throw new Error('it was read')
}

const head = 'CGATS.17\nNUMBER_OF_FIELDS 4\nBEGIN_DATA_FORMAT\nSAMPLE_NAME LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\n'
const cxfStart = '<CxF xmlns="http://colorexchangeformat.com/CxF3-core"><Resources><ObjectCollection>'
const cxfEnd = '</ObjectCollection></Resources></CxF>'
const object = (inner: string) =>
  `${cxfStart}<Object Name="x" Id="1"><ColorValues>${inner}</ColorValues></Object>${cxfEnd}`

describe('a file that is not right is refused with what is wrong and where', () => {
  it.each([
    ['nothing', '', 'exchange/unknown-format', ''],
    ['a letter', 'Dear painter,\n\nhere are the colours.\n', 'exchange/unknown-format', ''],
    ['a picture', '\uFFFDPNG\r\n\0\0', 'exchange/unknown-format', ''],
    ['another XML', '<svg xmlns="http://www.w3.org/2000/svg"/>', 'exchange/unknown-format', 'svg'],
    [
      'a number that is none',
      `${head}NUMBER_OF_SETS 1\nBEGIN_DATA\nteal 41 x 3\nEND_DATA\n`,
      'exchange/bad-file',
      'Line 8',
    ],
    ['a set that is cut off', `${head}BEGIN_DATA\nteal 41 2\nEND_DATA\n`, 'exchange/bad-file', '4 values'],
    [
      'fewer sets than announced',
      `${head}NUMBER_OF_SETS 3\nBEGIN_DATA\nteal 41 2 3\nEND_DATA\n`,
      'exchange/bad-file',
      'announces 3',
    ],
    ['an end that is missing', `${head}BEGIN_DATA\nteal 41 2 3\n`, 'exchange/bad-file', 'line 6'],
    ['a text without an end', `${head}BEGIN_DATA\n"teal 41 2 3\nEND_DATA\n`, 'exchange/bad-file', 'quotes'],
    [
      'more columns than named',
      head.replace('FIELDS 4', 'FIELDS 5').concat('BEGIN_DATA\nEND_DATA\n'),
      'exchange/bad-file',
      'announces 5',
    ],
    ['infinity', `${head}BEGIN_DATA\nteal 1e999 2 3\nEND_DATA\n`, 'exchange/bad-file', '1e999'],
    ['not a number', `${head}BEGIN_DATA\nteal nan 2 3\nEND_DATA\n`, 'exchange/bad-file', 'nan'],
    ['no colour of a surface', `${head}BEGIN_DATA\nteal 4125 2 3\nEND_DATA\n`, 'exchange/bad-file', 'L 4125'],
    ['no data', `${head}BEGIN_DATA\nEND_DATA\n`, 'exchange/nothing-usable', ''],
    ['a column twice', 'Name,L,a,b,a\nteal,1,2,3,4\n', 'exchange/bad-file', '“a”'],
    ['a decimal comma between commas', 'Name,L,a,b\nteal,"41,2",2,3\n', 'exchange/bad-file', 'Line 2'],
    ['two decimal signs', 'Name;L;a;b\nteal;41,2;2;3\nteal;41.2;2;3\n', 'exchange/bad-file', 'Line 3'],
    ['thousands', 'Name;L;a;b\nteal;1.041,2;2;3\n', 'exchange/bad-file', '1.041,2'],
    ['half a Lab', 'Name,L,a,b\nteal,41,2,\n', 'exchange/bad-file', 'missing'],
    ['more values than headings', 'Name,L,a,b\nteal,41,2,3,4\n', 'exchange/bad-file', '5 values'],
    [
      'wavelengths with a gap',
      `Name,${[400, 410, 430, 440, 450].join(',')}\nteal,1,1,1,1,1\n`,
      'exchange/bad-file',
      'wavelengths',
    ],
    ['XML cut off', object('').slice(0, -8), 'exchange/bad-file', 'well-formed'],
    ['a document type', `<!DOCTYPE CxF>${object('')}`, 'exchange/bad-file', 'document type'],
    ['an entity of its own', object('&colour;'), 'exchange/bad-file', 'well-formed'],
    ['nested without end', object('<a>'.repeat(5000)), 'exchange/bad-file', 'nested'],
    [
      'a spectrum that says no wavelengths',
      object('<ReflectanceSpectrum ColorSpecification="S">1 1 1 1</ReflectanceSpectrum>'),
      'exchange/bad-file',
      'wavelengths',
    ],
    [
      'a spectrum of words',
      object('<ReflectanceSpectrum StartWL="400" Increment="10">1 one 1 1</ReflectanceSpectrum>'),
      'exchange/bad-file',
      'one',
    ],
    [
      'a spectrum from nowhere',
      object('<ReflectanceSpectrum StartWL="-1e300" Increment="10">1 1 1 1</ReflectanceSpectrum>'),
      'exchange/bad-file',
      'nm',
    ],
    ['Lab without a part', object('<ColorCIELab><L>1</L><A>2</A></ColorCIELab>'), 'exchange/bad-file', 'at B'],
  ])('%s', (_what, text, code, says) => {
    const refusal = refusalOf(text)
    expect(refusal.code).toBe(code)
    expect(refusal.message).toContain(says)
    expect(refusal.message).not.toBe('')
    expect(refusal.remedy).not.toBe('')
  })

  it.each([
    ['a text without end', `${head}BEGIN_DATA\n"${'x'.repeat(1e6)}" 1 2 3\nEND_DATA\n`, 'quotes'],
    ['columns without end', `CGATS.17\nBEGIN_DATA_FORMAT\n${'LAB_L '.repeat(1e6)}\n`, '2000 columns'],
    ['values without end', `${head}BEGIN_DATA\n${'1 '.repeat(1e6)}\nEND_DATA\n`, '20,000'],
    ['cells without end', `Name,L,a,b\nx${',1'.repeat(1e6)}`, '2000 columns'],
    ['a cell without end', `Name,L,a,b\n${'x'.repeat(1e6)},1,2,3`, '10000 characters'],
    [
      'attributes without end',
      `<CxF ${Array.from({ length: 1e4 }, (_, i) => `a${i}="1"`).join(' ')}/>`,
      '200 attributes',
    ],
    ['elements without end', object('<a/>'.repeat(1e6)), 'more elements'],
    ['colours of one thing without end', object('<ColorCIELab/>'.repeat(1000)), '1000 colours'],
  ])('%s', (_what, text, says) => expect(refusalOf(text).message).toContain(says))

  it('entities that would grow to gigabytes never do', () => {
    const lol = Array.from({ length: 9 }, (_, i) => `<!ENTITY l${i + 1} "${`&l${i};`.repeat(10)}">`).join('')
    const bomb = `<?xml version="1.0"?><!DOCTYPE CxF [<!ENTITY l0 "lol">${lol}]>${object('&l9;')}`
    expect(refusalOf(bomb).message).toContain('document type')
  })

  it('a file outside reach is never asked for', () => {
    const text = `<!DOCTYPE CxF [<!ENTITY x SYSTEM "file:///secret">]>${object('&x;')}`
    expect(refusalOf(text).code).toBe('exchange/bad-file')
  })

  it('more than can be meant', () => {
    const lines = Array.from({ length: mostSamples + 1 }, (_, i) => `teal ${i},50,1,2`).join('\n')
    expect(refusalOf(`Name,L,a,b\n${lines}`).code).toBe('exchange/too-large')
    expect(refusalOf('x'.repeat(20 * 1024 ** 2 + 1)).code).toBe('exchange/too-large')
  })

  it('whatever it is, it is read or refused in words', () => {
    const good = [
      ...Object.values(writers).map((write) => write(fc.sample(row, { numRuns: 3, seed: 7 }))),
      `${head}BEGIN_DATA\nteal 41 2 3\nEND_DATA\n`,
    ]
    const damage = fc.record({
      text: fc.constantFrom(...good),
      at: fc.double({ min: 0, max: 1, noNaN: true }),
      length: fc.nat(40),
      put: fc.oneof(
        fc.string({ maxLength: 12 }),
        fc.constantFrom('"', '\n', '\t', '<', '&', ';', ',', '\0', '1e9', '-'),
      ),
    })
    fc.assert(
      fc.property(damage, ({ text, at, length, put }) => {
        const from = Math.floor(at * text.length)
        const damaged = text.slice(0, from) + put + text.slice(from + length)
        expect(wrongWith(damaged)).toBeNull()
      }),
      { numRuns: 600 },
    )
  })
})
describe('what is told of a spectrum', () => {
  const csv = (values: number[], more = '') =>
    `Name,Geometry,${more === '' ? '' : 'L,a,b,Illuminant,Observer,'}${values.map((_, i) => 400 + 10 * i).join(',')}\nx,45:0,${more}${values.join(',')}\n`
  const flat = (value: number) => Array.from({ length: 31 }, () => value)

  it('its Lab tells the scale where the figures do not', () => {
    // L* 76.069 is a flat half (116 · cbrt(0.5) − 16)
    const { questions, samples } = settle(readMeasuredFile(csv(flat(0.5), '76.07,0,0,D50,2,')), noAnswers)
    expect(questions).toEqual([])
    expect(samples[0]?.measures[0]?.colour?.cautions).toEqual([])
  })

  it('a Lab that does not fit it is said', () => {
    const { samples } = settle(readMeasuredFile(csv(flat(0.5), '70,0,0,D50,2,')), { ...noAnswers, scale: 'fraction' })
    expect(samples[0]?.measures[0]?.colour?.cautions.map(({ code }) => code)).toEqual(['exchange/lab-differs'])
  })

  it('one that misses much of what the eye sees is not taken, with the reason', () => {
    const { samples } = settle(readMeasuredFile(csv(flat(50).slice(0, 20))), noAnswers)
    expect(samples[0]?.measures[0]?.notTaken?.message).toContain('400 to 700 nm')
  })
})

describe('a figure', () => {
  it.each([
    ['41.25', 'point', 41.25],
    ['41,25', 'comma', 41.25],
    ['−3', 'point', -3],
    ['+.5', 'point', 0.5],
    ['1e-2', 'point', 0.01],
  ] as const)('%s with a decimal %s', (text, sign, value) => expect(parseFigure(text, sign)).toBe(value))
  it.each(['', '.', '-', '1 2', '0x10', 'NaN', 'Infinity', '1e999', '1.2.3', '1,5'])('“%s” is none', (text) =>
    expect(parseFigure(text, 'point')).toBeNull(),
  )
})
