import type { HistoryValue } from '../../../../shared-core/records/history.ts'
import type { Mixture } from '../../../../shared-core/records/mixture.ts'
import type { SheetOnPhoto } from '../../../../shared-core/records/photo-sheet.ts'
import type { TrackedTable, TrackedTables } from '../../tables.ts'
import { day, moment, number, quantity, text, yes } from './facts.ts'

/** Names of things that a row names by their ids. */
export type NameOf = (table: 'light' | 'setup' | 'photo' | 'material' | 'panel', id: string | null) => string | null

/** How the rows of a table are told: what the thing is, its name, and its facts. Columns that say nothing to a painter are left out. */
export type RowWords<T extends TrackedTable> = {
  what: string
  name: (row: TrackedTables[T]) => string
  facts: (row: TrackedTables[T], nameOf: NameOf) => Array<[name: string, value: HistoryValue | null]>
}
type Told =
  | 'material'
  | 'light'
  | 'photo'
  | 'setup'
  | 'known_sheet'
  | 'reference'
  | 'customer_job'
  | 'cup'
  | 'saved_search'

const spaced = (word: string): string => word.replaceAll('-', ' ')
const inTrash = (at: string | null): HistoryValue | null => (at === null ? null : yes(true))
const amount = (value: number | null, basis: string | null) => quantity(value, basis === 'mass' ? 'mass' : 'volume')
const listed = (json: string): HistoryValue | null => number((JSON.parse(json) as unknown[]).length || null, 0, '')

export const rowWords: { [T in Told]: RowWords<T> } = {
  material: {
    what: 'Material',
    name: ({ name }) => name,
    facts: (row, nameOf) => [
      ['Name', text(row.name)],
      ['Kind', text(row.kind)],
      ['Maker’s name for it', text(row.maker_name)],
      ['On the shelf', yes(row.on_shelf === 1)],
      ['On hand', amount(row.on_hand, row.on_hand_basis)],
      ['Buy again below', amount(row.reorder_at, row.on_hand_basis)],
      ['Opened on', day(row.opened_on)],
      ['Batch', text(row.batch)],
      ['Density', quantity(row.density_kg_per_l, 'density')],
      ['Volume solids', number(row.volume_solids_percent, 1, '%')],
      ['Cost', number(row.cost_per_l, 2, 'a litre')],
      ['Pot life', number(row.pot_life_min, 0, 'min')],
      ['Grain', number(row.flake_micron, 0, 'µm')],
      ['Names isocyanates', row.isocyanate === null ? null : yes(row.isocyanate === 1)],
      ['Data sheet', text(row.data_sheet_name)],
      ['Link to its data sheet', text(row.data_sheet)],
      ['Replaced by', text(nameOf('material', row.replaced_by_id))],
      ['Notes', text(row.notes)],
    ],
  },
  light: {
    what: 'Light',
    name: ({ name }) => name,
    facts: (row) => [
      ['Name', text(row.name)],
      ['Colour temperature', number(row.kelvin, 0, 'K')],
    ],
  },
  photo: {
    what: 'Photo',
    name: ({ name }) => name,
    facts: (row, nameOf) => [
      ['Name', text(row.name)],
      ['In the trash', inTrash(row.deleted_at)],
      ['Filed', row.filed === 1 ? yes(true) : null],
      ['Light', text(nameOf('light', row.light_id))],
      ['View', text(spaced(row.view))],
      ['Stage', text(row.stage)],
      ['Set-up', text(nameOf('setup', row.setup_id))],
      ['Blank sheet', text(nameOf('photo', row.flat_photo_id))],
      ['Photo sheet', text(seriesOn(row.sheet))],
      ['Taken', moment(row.taken_at)],
    ],
  },
  setup: {
    what: 'Set-up',
    name: ({ name }) => name,
    facts: (row, nameOf) => [
      ['Name', text(row.name)],
      ['In the trash', inTrash(row.deleted_at)],
      ['Camera', text(row.camera)],
      ['Light', text(nameOf('light', row.light_id))],
      ['Calibrated with', text(nameOf('photo', row.photo_id))],
      ['Calibrated', moment(row.calibrated_at)],
      ['Notes', text(row.notes)],
    ],
  },
  known_sheet: {
    what: 'Photo sheet',
    name: ({ series }) => String(series),
    facts: (row, nameOf) => [
      ['Number on the sheet', text(String(row.series))],
      ['Forgotten', inTrash(row.deleted_at)],
      ['Light', text(nameOf('light', row.light_id))],
      ['Learnt from', text(nameOf('photo', row.photo_id))],
      ['Learnt', moment(row.learned_at)],
    ],
  },
  reference: {
    what: 'Reference',
    name: ({ name }) => name,
    facts: (row) => [
      ['Name', text(row.name)],
      ['In the trash', inTrash(row.deleted_at)],
      ['Notes', text(row.notes)],
    ],
  },
  customer_job: {
    what: 'Job',
    name: ({ code, title }) => `${code} ${title}`.trim(),
    facts: (row) => [
      ['Title', text(row.title)],
      ['Customer', text(row.customer)],
      ['State', text(row.status)],
      ['In the trash', inTrash(row.deleted_at)],
      ['Check panels may be off by', number(row.tolerance, 1, 'dE00')],
      ['Due on', day(row.due_on)],
      ['Formula', formula(row.formula)],
      ['Candidates', listed(row.candidates)],
      ['Parts to paint', listed(row.parts)],
      ['Check panels', listed(row.checks)],
      ['Decisions', listed(row.decisions)],
      ['Notes', text(row.notes)],
    ],
  },
  cup: {
    what: 'Cup',
    name: ({ code, title }) => `${code} ${title}`.trim(),
    facts: (row, nameOf) => [
      ['Title', text(row.title)],
      ['State', text(spaced(row.status))],
      ['For panel', text(nameOf('panel', row.panel_id))],
      ['Mixture', { kind: 'mixture', mixture: JSON.parse(row.mixture) as Mixture }],
      ['Cup holds', quantity(row.cup_ml, 'volume')],
      ['Tip', quantity(row.tip_mm, 'tip')],
      ['Started', moment(row.started_at)],
      ['Hardener went in', moment(row.hardener_at)],
      ['Mixed', moment(row.mixed_at)],
      ['Mixed by', text(row.mixed_by)],
      ['Sprayable until', moment(row.pot_life_until)],
      ['Notes', text(row.notes)],
    ],
  },
  saved_search: {
    what: 'Saved search',
    name: ({ name }) => name,
    facts: (row) => [
      ['Name', text(row.name)],
      ['Order', text(row.sort)],
      ['Hung by', text(row.grouping)],
    ],
  },
}

/** The number of the sheet that a photo shows, which stands on the sheet, too. */
function seriesOn(json: string | null): string | null {
  return json === null ? null : String((JSON.parse(json) as SheetOnPhoto).print.series)
}

function formula(json: string | null): HistoryValue | null {
  if (json === null) return null
  return { kind: 'mixture', mixture: (JSON.parse(json) as { mixture: Mixture }).mixture }
}
