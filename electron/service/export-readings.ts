import type { Input } from '../../shared-core/contract/calls.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { writeCgats } from '../../shared-core/exchange/write/cgats.ts'
import { writeCsv } from '../../shared-core/exchange/write/csv.ts'
import { writeCxf } from '../../shared-core/exchange/write/cxf.ts'
import type { ExportRow } from '../../shared-core/exchange/write/rows.ts'
import type { Rack } from '../rack/opening/open.ts'
import { type ReadingOfPanel, readingsOfPanels } from '../rack/queries/reading-export.ts'

export type Exported = { text: string; fileName: string; readingCount: number; panelCount: number }

/** Readings of panels as the text of a file. @throws Refusal `panel/absent`, `exchange/no-readings` */
export async function exportReadings(rack: Rack, input: Input<'exchange.export'>): Promise<Exported> {
  const { of, instrumentOnly, format, decimal } = input
  const all = await rack.read((db) => readingsOfPanels(db, of))
  const found = instrumentOnly ? all.filter(({ reading }) => reading.level === 'instrument') : all
  if (found.length === 0)
    throw new Refusal(
      'exchange/no-readings',
      instrumentOnly && all.length > 0
        ? 'None of these readings came from an instrument.'
        : 'These panels have no reading yet.',
      instrumentOnly && all.length > 0
        ? 'Export all readings.'
        : 'Photograph them, or take readings in from an instrument.',
    )
  const rows = found.map(rowOf)
  const about = { createdAt: new Date().toISOString() }
  const panelCodes = [...new Set(found.map(({ code }) => code))]
  const name = panelCodes.length === 1 ? `readings ${panelCodes[0]}` : `readings of ${panelCodes.length} panels`
  const written = {
    cgats: () => writeCgats(rows, about),
    cxf: () => writeCxf(rows, about),
    csv: () => writeCsv(rows, { decimal }),
  }
  const extension = { cgats: 'txt', cxf: 'cxf', csv: 'csv' }
  return {
    text: written[format](),
    // a code is typed by hand and may hold what a file name may not
    fileName: `${name.replaceAll(/[<>:"/\\|?*\p{Cc}]/gu, '-')}.${extension[format]}`,
    readingCount: rows.length,
    panelCount: panelCodes.length,
  }
}

function rowOf({ code, title, coats, reading }: ReadingOfPanel): ExportRow {
  const { lab, illuminant, observer, geometry, view, stage, level, bound90, spectrum, instrument, takenAt } = reading
  const named = title === '' ? code : `${code} ${title}`
  return {
    name: `${named}, ${coats} ${coats === 1 ? 'coat' : 'coats'}`,
    lab,
    illuminant,
    observer,
    geometry,
    view,
    stage,
    level,
    bound90,
    spectrum: spectrum ?? null,
    instrument: instrument ?? null,
    takenAt,
  }
}
