/**
 * Formulas as painters write them. The sentences come from practice (common practice, no source); what they come to is
 * written out by hand. Round trips are checked on generated mixtures.
 */
import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type ParsedFormula, parseFormula } from '../../shared-core/mix/formula.ts'
import { formulaInShort, formulaInWords } from '../../shared-core/mix/formula-words.ts'
import { layerWarnings } from '../../shared-core/mix/limits.ts'
import { sharesOf } from '../../shared-core/mix/quantities.ts'
import { type MaterialKind, Mixture, type Part } from '../../shared-core/records/mixture.ts'
import { materialsIn, mixtures, plainMaterials, trickyMaterials } from './mixtures.ts'

const known = ['copper', 'crimson', 'teal', 'violet', 'carrier', 'reducer', 'silver 2', '4 to 1 blue']
type Understood = ParsedFormula & { ok: true }
type Refused = ParsedFormula & { ok: false }

const understand = (text: string, names: readonly string[] = known): Understood => {
  const read = parseFormula(text, { known: names })
  if (!read.ok) throw new Error(`${text}: ${read.message}`)
  expect(Mixture.parse(read.mixture)).toEqual(read.mixture)
  return read
}
const refuse = (text: string): Refused => {
  const read = parseFormula(text, { known })
  if (read.ok) throw new Error(`${text} was read as ${read.understood}`)
  return read
}
/** A mixture as nested lists, which are quick to write by hand. */
const plain = (mixture: Mixture): unknown =>
  mixture.parts.map((part) => {
    const content = part.material?.name ?? (part.mixture ? plain(part.mixture) : null)
    return part.unit === 'parts' ? [part.amount, content] : [part.amount, content, part.unit]
  })

const part = (amount: number, name: string, kind: MaterialKind): Part => ({
  amount,
  unit: 'parts',
  material: { id: null, name, kind },
  mixture: null,
})

const blendIn6 = [
  [
    1,
    [
      [4, 'copper'],
      [1, 'crimson'],
    ],
  ],
  [6, 'carrier'],
]
const tealViolet = (carrier: number): unknown[] => [
  [
    1,
    [
      [3, 'teal'],
      [1, 'violet'],
    ],
  ],
  [carrier, 'carrier'],
]

describe('one formula, many hands', () => {
  it.each([
    '4:1 copper + crimson, in 6:1 carrier, 4 coats',
    'copper 4 crimson 1 in 6 to 1 carrier, 4 coats',
    '4 : 1 copper & crimson / 6 : 1 / four coats',
    '4 to 1 copper and crimson in 6 to 1 carrier. 2 cross coats',
    'four parts copper, one part crimson in 6:1 carrier, 2 double coats',
    'copper + crimson 4:1 in 6:1, 3 medium wet coats + 1 coat',
    'copper 4:1 crimson in carrier 6:1, coats 4',
    '4:1 copper crimson in 6:1 carrier - 4 coats',
    'COPPER: 4, Crimson: 1, in (6:1 carrier), 4 coats',
    '4 copper : 1 crimson, in 6 parts carrier to 1 part blend, 4 coats',
    '4:1 copper/crimson, 6:1 in carrier, 4 coats',
    '4-to-1 copper to crimson in 6-to-1 carrier; 4 coats',
    'copper 4\ncrimson 1\nin 6:1 carrier\n4 coats',
    '4 parts of copper, 1 part of crimson, in 6:1 carrier, 4 coats',
  ])('%s', (text) => {
    const read = understand(text)
    expect(plain(read.mixture)).toEqual(blendIn6)
    expect(read.coats).toBe(4)
    expect(read.basisAssumed).toBe(true)
    expect(read.warnings).toEqual([])
    expect(read.mixture.parts.map(({ material, mixture }) => material?.kind ?? mixture?.name)).toEqual([
      'blend',
      'carrier',
    ])
  })

  it('comes to the check value: 4/35, 1/35, 30/35 (common practice, no source)', () => {
    const shares = sharesOf(understand('4:1 copper + crimson, in 6:1 carrier').mixture).map(({ share }) => share)
    expect(shares).toEqual([4 / 35, 1 / 35, 30 / 35])
  })
})

describe('what else is written', () => {
  it.each<[string, unknown, number | null]>([
    [
      '3 parts teal, 1 part violet / 5:1 / 3 coats, 10% reducer on top',
      [...tealViolet(5), [10, 'reducer', 'percent-on-top']],
      3,
    ],
    ['3 teal 1 violet/5:1/3 coats', tealViolet(5), 3],
    [
      'teal straight in 6:1, 2 cross coats',
      [
        [1, 'teal'],
        [6, 'carrier'],
      ],
      4,
    ],
    ['straight teal', [[1, 'teal']], null],
    [
      '25 g/L pearl in carrier',
      [
        [1, 'carrier'],
        [25, 'pearl', 'grams-per-litre'],
      ],
      null,
    ],
    [
      'pearl 25 grams per liter in carrier',
      [
        [1, 'carrier'],
        [25, 'pearl', 'grams-per-litre'],
      ],
      null,
    ],
    [
      '3 1/2 teal : ½ violet',
      [
        [3.5, 'teal'],
        [0.5, 'violet'],
      ],
      null,
    ],
    [
      '3,5 teal : 1.25 violet',
      [
        [3.5, 'teal'],
        [1.25, 'violet'],
      ],
      null,
    ],
    [
      'teal in 6:1/2 coats',
      [
        [1, 'teal'],
        [6, 'carrier'],
      ],
      2,
    ],
    [
      '4:1:1 clear + hardener + slow reducer, 2 coats',
      [
        [4, 'clear'],
        [1, 'hardener'],
        [1, 'slow reducer'],
      ],
      2,
    ],
    [
      '24 ml copper, 6 ml crimson in 180 ml carrier',
      [
        [24, 'copper'],
        [6, 'crimson'],
        [180, 'carrier'],
      ],
      null,
    ],
    [
      'equal parts teal and violet',
      [
        [1, 'teal'],
        [1, 'violet'],
      ],
      null,
    ],
    [
      '80% teal, 20% violet',
      [
        [80, 'teal', 'percent-of-total'],
        [20, 'violet', 'percent-of-total'],
      ],
      null,
    ],
    [
      'teal in 6:1, hardener 10 % of the total',
      [
        [1, 'teal'],
        [6, 'carrier'],
        [10, 'hardener', 'percent-of-total'],
      ],
      null,
    ],
    [
      '2 silver 2 : 1 4 to 1 blue',
      [
        [2, 'silver 2'],
        [1, '4 to 1 blue'],
      ],
      null,
    ],
    [
      '4 teal in 1 carrier',
      [
        [4, 'teal'],
        [1, 'carrier'],
      ],
      null,
    ],
    [
      '6 parts carrier to 1 part teal',
      [
        [6, 'carrier'],
        [1, 'teal'],
      ],
      null,
    ],
    [
      'base = 2 teal : 1 violet\n3 base : 1 copper',
      [
        [
          3,
          [
            [2, 'teal'],
            [1, 'violet'],
          ],
        ],
        [1, 'copper'],
      ],
      null,
    ],
  ])('%s', (text, mixture, coats) => {
    const read = understand(text)
    expect(plain(read.mixture)).toEqual(mixture)
    expect(read.coats).toBe(coats)
    expect(read.warnings).toEqual([])
  })

  it.each([
    ['4:1 copper + crimson by weight in 6:1 carrier', ['mass', 'mass']],
    ['4:1 copper + crimson in 6:1 carrier, by volume', ['volume', 'volume']],
    ['by mass: 4:1 copper + crimson in 6:1 carrier by volume', ['volume', 'mass']],
    ['4 g copper, 1 g crimson, 1 blend in 6 carrier by volume', ['volume', 'mass']],
  ])('knows the basis of %s', (text, bases) => {
    const read = understand(text)
    expect([read.mixture.basis, read.mixture.parts[0]?.mixture?.basis]).toEqual(bases)
    expect(read.basisAssumed).toBe(false)
  })

  it('says back what it understood, and what it assumed', () => {
    expect(understand('4:1 copper + crimson, in 6:1 carrier, 4 coats').understood).toBe(
      '4 copper : 1 crimson, by volume; 1 blend in 6 carrier, by volume; volume was assumed; 4 coats',
    )
  })

  it('keeps ids and kinds of the shelf, and takes its only carrier for “carrier”', () => {
    const shelf = [
      { id: 'm1', name: 'Copper', kind: 'base' as const },
      { id: 'm2', name: 'Intercoat 20', kind: 'carrier' as const },
    ]
    const read = parseFormula('copper in 6:1 carrier', { known: shelf })
    expect(read.ok && read.mixture.parts.map(({ material }) => material)).toEqual(shelf)
  })
})

describe('warnings', () => {
  it.each([
    ['teal in 6:1, reducer 20 % on top', /usual limit/u],
    ['teal in 6:1, reducer 21 % on top', /stops levelling/u],
    ['teal in 6:1, reducer 10 % of the total', /usual limit/u],
    ['teal in 6:1, 5 % reducer', /on top/u],
    ['coper in 6:1 carrier', /did you mean copper/u],
    ['teal over silver in 6:1', /ground is a layer/u],
    ['teal in 1:6 carrier', /carrier comes first/u],
    ['1 mist coat, teal in 6:1, 3 coats', /mist coat/u],
    ['4 copper, 1 crimson in 6 carrier', /1 of the blend/u],
  ])('%s', (text, words) => expect(understand(text).warnings.join(' ')).toMatch(words))

  it('knows the limits of a mid coat (common practice, no source)', () => {
    const paint = (text: string) => understand(text).mixture
    expect(layerWarnings('mid-coat', paint('4:1 pearl base + carrier'), 2)).toEqual([])
    expect(layerWarnings('mid-coat', paint('3:1 pearl base + carrier'), 3)).toEqual([])
    expect(layerWarnings('mid-coat', paint('2:1 pearl base + carrier'), 4)).toHaveLength(2)
    expect(layerWarnings('candy', paint('2:1 pearl base + carrier'), 4)).toEqual([])
  })
})

describe('what is not understood', () => {
  it.each([
    ['', ''],
    ['4 coats', ''],
    ['in 6:1 carrier', '6:1'],
    ['teal @ 6:1', '@'],
    ['copper + crimson in 6:1', 'copper'],
    ['4:1 copper', '4:1'],
    ['4:1:1 copper + crimson', '4:1:1'],
    ['copper 4 crimson', 'crimson'],
    ['0 teal : 1 violet', 'teal'],
    ['teal 6:1 carrier', 'teal'],
    ['24 ml copper, 6 g crimson', 'crimson'],
    ['4 ml copper, 2 parts crimson', 'crimson'],
    ['teal in 6:1 carrier in 2:1 clear', '2:1'],
    ['1 blend in 6 carrier', 'blend'],
    ['60 % teal of the total, 30 % violet of the total', 'teal'],
    ['base = 2 teal : 1 violet\n3 copper : 1 crimson', 'base'],
    ['teal in', 'in'],
    ['reducer 5 % on top', 'reducer'],
  ])('“%s”, at “%s”', (text, where) => {
    const read = refuse(text)
    // Nothing to point at: the end of the text.
    expect(read.at).toBe(where === '' ? text.length : text.indexOf(where))
    expect(read.message).toMatch(/^\S.*\.$/u)
    expect(read.remedy).not.toBe('')
  })

  it('never throws, whatever is typed', () => {
    const vocabulary =
      '4 1 : to in copper blend = \n % on-top of-the-total g/L 25 by-mass carrier + , / 1/0 ½ " straight coats cross over ml ( ' +
      'equal-parts ; 🙂'
    const word = fc.constantFrom(...vocabulary.split(' ').map((each) => each.replaceAll('-', ' ')))
    const texts = fc.oneof(
      fc.array(word, { maxLength: 14 }).map((words) => words.join(' ')),
      fc.string({ unit: 'binary', maxLength: 40 }),
    )
    fc.assert(
      fc.property(texts, (text) => {
        const read = parseFormula(text, { known })
        const isSound = read.ok ? Mixture.safeParse(read.mixture).success : read.at >= 0 && read.at <= text.length
        expect(isSound).toBe(true)
      }),
      { numRuns: 2000 },
    )
  })
})

describe('round trips', () => {
  const decimals = fc.constantFrom('comma' as const, 'point' as const)

  it('reads its own lines back: plain names, nothing known but the materials', () => {
    fc.assert(
      fc.property(mixtures(plainMaterials, { oneBasis: false, powders: true }), decimals, (mixture, decimal) => {
        const text = formulaInWords(mixture, { decimal }).join('\n')
        const read = parseFormula(text, { known: materialsIn(mixture) })
        expect(read).toMatchObject({ ok: true, mixture, basisAssumed: false })
      }),
      { numRuns: 500 },
    )
  })

  it('reads its own lines back when they are for typing: any name', () => {
    fc.assert(
      fc.property(mixtures(trickyMaterials, { oneBasis: false, powders: true }), decimals, (mixture, decimal) => {
        const text = formulaInWords(mixture, { decimal, forTyping: true }).join('\n')
        const read = parseFormula(text, { known: materialsIn(mixture) })
        const names = (each: Mixture) => materialsIn(each).map(({ name }) => name)
        expect(read).toMatchObject({ ok: true })
        expect(read.ok && plain(read.mixture)).toEqual(plain(mixture))
        expect(read.ok && names(read.mixture)).toEqual(names(mixture))
      }),
      { numRuns: 500 },
    )
  })

  it.each([
    '4:1 copper + crimson in 6:1 carrier, reducer 5 % on top',
    'teal in 6:1 carrier',
    '3:1 teal + violet by mass',
    '4:1 copper + crimson by mass in 6:1 carrier by volume',
    '2 1/3:1 teal + violet in 5:1 carrier',
    '4:1 copper + crimson, 1 carrier to 4 blend',
    '4 teal in 1 carrier',
    'carrier, pearl 25 g/L',
  ])('says %s on one line, and reads it back', (text) => {
    const { mixture } = understand(text)
    expect(formulaInShort(mixture, { decimal: 'point' })).toBe(text)
  })

  it('says it in the lines that the trade uses', () => {
    const { mixture } = understand('4:1 copper + crimson, in 6:1 carrier, reducer 5 % on top, by volume')
    expect(formulaInWords(mixture, { decimal: 'point' })).toEqual([
      '4 copper : 1 crimson, by volume',
      '1 blend in 6 carrier, by volume',
      'reducer 5 % on top',
    ])
  })

  it('names a blend that is itself carried, because one line holds a single “in”', () => {
    const dyeIn2 = {
      name: 'blend',
      basis: 'volume' as const,
      parts: [part(1, 'teal', 'concentrate'), part(2, 'carrier', 'carrier')],
    }
    const mixture = {
      name: '',
      basis: 'volume' as const,
      parts: [
        { amount: 1, unit: 'parts' as const, material: null, mixture: dyeIn2 },
        part(6, 'slow carrier', 'carrier'),
      ],
    }
    const lines = formulaInWords(mixture, { decimal: 'point', forTyping: true })
    expect(lines).toEqual(['blend = 1 teal in 2 carrier, by volume', '1 blend in 6 slow carrier, by volume'])
    expect(parseFormula(lines.join('\n'), { known: materialsIn(mixture) })).toMatchObject({ ok: true, mixture })
  })
})
