import { alike, type ExportRow, geometryWords, labFigure, reflectanceFigure, wavelengths } from './rows.ts'

/**
 * CGATS.17 (ISO 28178), one table for each kind of measurement. Words that the standard does not list are declared by
 * KEYWORD first. Reflectances are factors, and SPECTRAL_NORM says so.
 */
export function writeCgats(rows: readonly ExportRow[], about: { createdAt: string }): string {
  const tables = alike(rows).map((group) => tableOf(group, about.createdAt))
  return `CGATS.17\n\n${tables.join('\n')}`
}

function tableOf(group: readonly ExportRow[], createdAt: string): string {
  const [first] = group
  if (!first) return ''
  const bands = first.spectrum ? wavelengths(first.spectrum) : []
  const fields = [
    'SAMPLE_ID',
    'SAMPLE_NAME',
    'MEASURED',
    'LAB_L',
    'LAB_A',
    'LAB_B',
    ...bands.map((nm) => `SPECTRAL_NM${nm}`),
  ]
  const head = [
    'ORIGINATOR "Overground"',
    `CREATED ${quoted(createdAt)}`,
    ...(first.instrument === null ? [] : [`INSTRUMENTATION ${quoted(first.instrument)}`]),
    `MEASUREMENT_GEOMETRY ${quoted(geometryWords(first))}`,
    `WEIGHTING_FUNCTION ${quoted(`ILLUMINANT, ${first.illuminant}`)}`,
    `WEIGHTING_FUNCTION ${quoted(`OBSERVER, ${first.observer} degree`)}`,
    'KEYWORD "MEASURED"',
    ...(bands.length === 0 ? [] : ['KEYWORD "SPECTRAL_NORM"', 'SPECTRAL_NORM "1.0"']),
    `NUMBER_OF_FIELDS ${fields.length}`,
    'BEGIN_DATA_FORMAT',
    fields.join('\t'),
    'END_DATA_FORMAT',
    `NUMBER_OF_SETS ${group.length}`,
  ]
  const data = group.map((row, i) =>
    [
      String(i + 1),
      quoted(row.name),
      quoted(row.takenAt),
      ...[row.lab.l, row.lab.a, row.lab.b].map(labFigure),
      ...(row.spectrum?.values ?? []).map(reflectanceFigure),
    ].join('\t'),
  )
  return [...head, 'BEGIN_DATA', ...data, 'END_DATA', ''].join('\n')
}

/** A text of one line: a line end or a tab in it becomes a blank, a quote is doubled. */
const quoted = (text: string): string => `"${text.replaceAll(/\p{Cc}+/gu, ' ').replaceAll('"', '""')}"`
