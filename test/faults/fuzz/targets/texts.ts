import { writeModel } from '../../../../shared-core/exchange/panels-csv/write-table.ts'
import { writeCgats } from '../../../../shared-core/exchange/write/cgats.ts'
import { writeCsv } from '../../../../shared-core/exchange/write/csv.ts'
import { writeCxf } from '../../../../shared-core/exchange/write/cxf.ts'
import type { ExportRow } from '../../../../shared-core/exchange/write/rows.ts'
import { mutated, tokensOf } from '../mutate.ts'
import type { Random } from '../random.ts'
import type { Fate, FuzzTarget, Service } from '../target.ts'
import { hostileNumber, hostileText } from '../texts.ts'

/** Files of text from programs that nobody knows, handed over as the painter chooses them. */

const row = (name: string, more: Partial<ExportRow> = {}): ExportRow => ({
  name,
  lab: { l: 41.2, a: -3.25, b: 18.5 },
  illuminant: 'D50',
  observer: '2',
  geometry: 'd:8-included',
  view: 'face',
  stage: 'cured',
  level: 'instrument',
  bound90: 0.6,
  spectrum: null,
  instrument: 'bench sphere',
  takenAt: '2024-05-17T10:00:00.000Z',
  ...more,
})
const spectrum = { startNm: 400, stepNm: 10, values: Array.from({ length: 31 }, (_, i) => 0.1 + i / 100) }
const rows = [row('Damson 4'), row('=1+1', { spectrum }), row('Bracken “2”', { geometry: 'multi-angle', view: 'flop' })]
const about = { createdAt: '2024-05-17T10:00:00.000Z' }
const latin = (text: string) => Buffer.from(text, 'utf8')

export const csvSeeds = [
  writeCsv(rows, { decimal: 'point' }),
  writeCsv(rows, { decimal: 'comma' }),
  'Name,L,a,b\nA,50,1,2\nB,51,1,2\n',
  'sep=;\nName;L*;C*;h\n"A ""x""";50,1;10;200\n',
].map(latin)
export const cgatsSeeds = [
  writeCgats(rows, about),
  'CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nNUMBER_OF_SETS 2\nBEGIN_DATA\n1 50 1 2\n2 51 2 3\nEND_DATA\n',
].map(latin)
export const cxfSeeds = [writeCxf(rows, about), writeCxf(rows.slice(0, 1), about)].map(latin)
export const notebookSeeds = [writeModel('point'), writeModel('comma'), 'Code\tTitle\tCoats\nA-1\tPlum\t2-4\n'].map(
  latin,
)

export const tableWords = tokensOf(
  '"',
  '""',
  ',',
  ';',
  '\t',
  '\r',
  '\n',
  '\r\n',
  '\0',
  'sep=,\n',
  '\xef\xbb\xbf',
  '\xff\xfe',
  '\xfe\xff',
  '=',
  '1e400',
  'NaN',
  '"\n"',
)
const cgatsWords = tokensOf(
  'BEGIN_DATA\n',
  'END_DATA\n',
  'BEGIN_DATA_FORMAT\n',
  'END_DATA_FORMAT\n',
  'NUMBER_OF_SETS 999999999\n',
  'NUMBER_OF_FIELDS 0\n',
  'NUMBER_OF_SETS -1\n',
  'KEYWORD "X"\n',
  '"',
  '""',
  '#',
  'SPECTRAL_NM400',
  'LAB_L',
  'SAMPLE_ID',
  'WEIGHTING_FUNCTION "ILLUMINANT, D50"\n',
  '\t',
  '\r',
)
const xmlWords = tokensOf(
  '<!DOCTYPE x [<!ENTITY a "aaaa">]>',
  '<!ENTITY % p SYSTEM "file:///etc/passwd">',
  '&a;',
  '&#0;',
  '&#xD800;',
  '&#x10FFFF;',
  '&#x110000;',
  '<![CDATA[',
  ']]>',
  '<!--',
  '-->',
  '<?xml version="1.1" encoding="utf-7"?>',
  '<?x y?>',
  'xmlns:cc="x"',
  'xmlns=""',
  '<cc:Object>',
  '</cc:Object>',
  '<a>',
  '</a>',
  ' a="1"',
  '\0',
  '\xff\xfe',
  '<cc:ColorCIELab ColorSpecification="CS1">',
)

/** Pieces in the middle said very often, cells that a painter never typed, and bytes that are none of a text. */
export function harmedText(seeds: readonly Buffer[], words: readonly Uint8Array[], random: Random): Uint8Array {
  const seed = random.pick(seeds)
  if (random.chance(0.5)) return mutated(seed, random, seeds, words)
  let text = seed.toString('utf8')
  for (let i = random.few(5); i > 0; i--) {
    const at = random.int(text.length)
    const cell = /^[^,;\t\s<>"]*/.exec(text.slice(at))?.[0] ?? ''
    const said = random.chance(0.06)
      ? // long and next to nothing: what a pattern with blanks in it goes through again and again
        random.pick([' ', '1 ', 'a ', ', ', '1,', '\u00a0', '=', '- ', '½ ']).repeat(random.int(9000) / 2)
      : random.chance(0.5)
        ? String(hostileNumber(random))
        : hostileText(random)
    text = text.slice(0, at) + said + text.slice(at + cell.length)
  }
  if (random.chance(0.05))
    text =
      random
        .pick(['"', '<a>', ',', 'a\t', '1 ', '(', '-', '\n', '<a b="', '&#', 'L,'])
        .repeat(1 + random.int(100_000)) + text
  if (random.chance(0.04)) return Buffer.from(`\ufeff${text}`, 'utf16le')
  if (random.chance(0.04)) return Buffer.from(text, 'latin1')
  return Buffer.from(text, 'utf8')
}

const answers = { illuminant: null, observer: null, geometry: null, scale: null, view: null }
const answered = { illuminant: 'D65', observer: '10', geometry: 'multi-angle', scale: 'percent', view: 'face' }

async function inspect(service: Service, name: string, bytes: Uint8Array, i: number): Promise<Fate> {
  const file = { path: service.file(name, bytes), name }
  const given = i % 2 ? answers : answered
  const seen = await service.call('exchange.inspect', { ...file, answers: given })
  if (!seen.ok) return 'refused'
  const { digest, samples } = seen.value as { digest: string; samples: { id: string; name: string }[] }
  // some are kept, and written again in every form
  if (i % 5 === 0 && samples.length > 0) {
    const mapping = samples
      .slice(0, 5)
      .map((sample) => ({ sampleId: sample.id, to: { kind: 'reference', name: sample.name.slice(0, 200) || 'x' } }))
    await service.call('exchange.take', { ...file, digest, answers: given, stage: 'dry', bound90: null, mapping })
  }
  return 'taken'
}

function exchanged(name: string, seeds: readonly Buffer[], words: readonly Uint8Array[]): FuzzTarget<Uint8Array> {
  return {
    name,
    mostMb: 900,
    make: (random) => harmedText(seeds, words, random),
    run: (bytes, service, i) => inspect(service, `f.${name}`, bytes, i),
    keep: (bytes) => bytes,
  }
}

export const csv = exchanged('csv', csvSeeds, tableWords)
export const cgats = exchanged('cgats', cgatsSeeds, cgatsWords)
export const cxf = exchanged('cxf', cxfSeeds, xmlWords)
