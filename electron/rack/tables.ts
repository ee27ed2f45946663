import type { Generated } from 'kysely'
import type { CupLineRow, CupRow, CustomerJobRow, ReplacementRow, StockMoveRow } from './bench-rows.ts'

/**
 * The rows as SQLite keeps them. Truth is 0 or 1, lists and quadrilaterals are JSON text, times are ISO 8601 in UTC.
 * The migrations make these tables; a column that a later migration adds is added here too.
 */
export type PanelRow = {
  id: string
  code: string
  title: string
  status: string
  sprayed_on: string | null
  sprayed_by: string
  substrate: string
  notes: string
  created_at: string
  deleted_at: string | null
}
export type TagRow = { id: string; panel_id: string; position: number; name: string }
export type MaterialRow = {
  id: string
  name: string
  kind: string
  maker_name: string
  density_kg_per_l: number | null
  volume_solids_percent: number | null
  cost_per_l: number | null
  batch: string
  data_sheet: string
  notes: string
  on_shelf: number
  on_hand: number | null
  on_hand_basis: string | null
  opened_on: string | null
  reorder_at: number | null
  data_sheet_sha256: string | null
  data_sheet_name: string | null
  pot_life_min: number | null
  flake_micron: number | null
  isocyanate: number | null
  replaced_by_id: string | null
}
/** `root_id` names the outermost mixture, so that a whole tree is read without recursion. */
export type MixtureRow = { id: string; root_id: string; name: string; basis: string }
/** `position` counts through the whole tree, depth first. */
export type MixturePartRow = {
  id: string
  mixture_id: string
  root_id: string
  position: number
  amount: number
  unit: string
  material_id: string | null
  child_id: string | null
}
export type GunSetupRow = {
  id: string
  name: string
  gun: string
  tip_mm: number | null
  inlet_kpa: number | null
  cap_kpa: number | null
  distance_mm: number | null
  overlap_percent: number | null
}
export type BoothConditionsRow = {
  id: string
  temperature_c: number | null
  humidity_percent: number | null
  flash_off_min: number | null
  reducer_grade: string
}
export type LayerRow = {
  id: string
  panel_id: string
  position: number
  kind: string
  name: string
  coats: number
  mixture_id: string | null
  gun_setup_id: string | null
  booth_id: string | null
  notes: string
}
export type StepRow = { id: string; panel_id: string; position: number; coats: number; notes: string }
export type LightRow = { id: string; position: number; name: string; kelvin: number | null }
export type PhotoRow = {
  id: string
  sha256: string
  name: string
  format: string
  width: number
  height: number
  byte_count: number
  bits: number
  profile: string
  profile_assumed: number
  taken_at: string | null
  camera: string | null
  exposure_s: number | null
  f_number: number | null
  iso: number | null
  white_balance: string | null
  focal_length_mm: number | null
  light_id: string | null
  view: string
  stage: string
  setup_id: string | null
  /** The photo of a blank sheet in the same light. */
  flat_photo_id: string | null
  mm_per_pixel: number | null
  /** The photo sheet that it shows, as JSON. */
  sheet: string | null
  filed: number
  laid_out_at: string | null
  cautions: string
  added_at: string
  deleted_at: string | null
}
export type CardRow = { id: string; photo_id: string; quad: string; l: number; a: number; b: number }
export type TileRow = CardRow & { position: number; kind: string }
export type ChartRow = { id: string; photo_id: string; quad: string; chart_table: string }
/** `fit` is what calibrating taught, as JSON. */
export type SetupRow = {
  id: string
  name: string
  camera: string | null
  light_id: string | null
  notes: string
  photo_id: string | null
  fit: string
  calibrated_at: string
  created_at: string
  deleted_at: string | null
}
/** `fit` is what a photo with a chart taught about the sheets of a series, as JSON. */
export type KnownSheetRow = {
  id: string
  series: number
  light_id: string | null
  photo_id: string | null
  fit: string
  learned_at: string
  deleted_at: string | null
}
/** `position` is null once the area is no longer marked and only readings still name it. */
export type AreaRow = {
  id: string
  photo_id: string
  position: number | null
  step_id: string | null
  kind: string
  points: string
  radius: number | null
  cut_key: string
}
export type FilingRow = {
  id: string
  photo_id: string
  panel_id: string | null
  reference_id: string | null
  filed_at: string
}
export type ReferenceRow = { id: string; name: string; notes: string; created_at: string; deleted_at: string | null }
export type ReadingRow = {
  id: string
  step_id: string | null
  reference_id: string | null
  photo_id: string | null
  area_id: string | null
  l: number
  a: number
  b: number
  illuminant: string
  observer: string
  geometry: string
  level: string
  bound90: number
  parts: string
  cautions: string
  cut_key: string | null
  light_id: string | null
  view: string
  stage: string
  age_days: number | null
  taken_at: string
  deleted_at: string | null
  texture: string | null
  setup_id: string | null
  spectrum: string | null
  instrument: string | null
  /** How much of `bound90` all readings of its photo share, and of its set-up; null where the reading does not say. */
  bound_shared_photo: number | null
  bound_shared_setup: number | null
}
export type SavedSearchRow = {
  id: string
  name: string
  filter: string
  sort: string
  grouping: string
  created_at: string
}
/** Tables whose every change is recorded and can be undone. */
export type TrackedTables = {
  panel: PanelRow
  tag: TagRow
  material: MaterialRow
  mixture: MixtureRow
  mixture_part: MixturePartRow
  gun_setup: GunSetupRow
  booth_conditions: BoothConditionsRow
  layer: LayerRow
  step: StepRow
  light: LightRow
  photo: PhotoRow
  card: CardRow
  tile: TileRow
  chart: ChartRow
  setup: SetupRow
  known_sheet: KnownSheetRow
  area: AreaRow
  filing: FilingRow
  reference: ReferenceRow
  reading: ReadingRow
  customer_job: CustomerJobRow
  cup: CupRow
  cup_line: CupLineRow
  stock_move: StockMoveRow
  replacement: ReplacementRow
  saved_search: SavedSearchRow
}
export type TrackedTable = keyof TrackedTables

export const trackedTables: readonly TrackedTable[] = [
  'panel',
  'tag',
  'material',
  'mixture',
  'mixture_part',
  'gun_setup',
  'booth_conditions',
  'layer',
  'step',
  'light',
  'photo',
  'card',
  'tile',
  'chart',
  'setup',
  'known_sheet',
  'area',
  'filing',
  'reference',
  'reading',
  'customer_job',
  'cup',
  'cup_line',
  'stock_move',
  'replacement',
  'saved_search',
]

export type Tables = TrackedTables & {
  /** One row. A code that was given is not given again, so the next codes of panels, cups and jobs are not undone. */
  rack_info: {
    id: number
    name: string
    /** Copies of a rack have the same. */
    rack_id: string
    next_code: number
    next_cup: number
    next_job: number
    revision: number
    created_at: string
  }
  /** `abandoned`: undone, and then something else was done instead. */
  change: {
    id: string
    seq: number
    at: string
    who: string
    label: string
    panel_id: string | null
    state: 'done' | 'undone' | 'abandoned'
    /** Number of the change that was the last one when this one was made; 0: none; null: no longer known. */
    follows: number | null
    undone_at: string | null
    undone_by: string | null
  }
  change_row: {
    change_id: string
    seq: number
    table_name: string
    row_id: string
    before: string | null
    after: string | null
  }
  /** Rows of changes by the id of the panel, or of what panels share, that they are about. */
  change_about: { about: string; change_seq: number; row_seq: number }
  /** What befell the rack as a whole, after the change of this number. */
  rack_event: { id: string; at: string; after_seq: number; who: string; kind: string; label: string }
  /** An intake under way; its rows go when it ends. */
  intake: { id: string; created_at: string }
  intake_file: {
    intake_id: string
    position: number
    path: string
    name: string
    state: 'waiting' | 'working' | 'done'
    tries: number
    photo_id: string | null
    fate: string | null
    why: string | null
    /** What whoever sent it said of the photo, as JSON. */
    hint: string | null
  }
  /** What was found in a photo of the tray, by the version of the program that looked. */
  photo_proposal: {
    photo_id: string
    version: number
    state: 'looking' | 'made' | 'failed'
    tries: number
    found: string | null
    /** Colours along the panels found, as JSON. */
    colours: string | null
    why: string | null
    fingerprint: string | null
    /** An earlier photo that looks the same. */
    alike_id: string | null
    /** The panel that the painter said it shows. */
    panel_id: string | null
    /** Neither that one nor any other that is told by a code or words, until the painter says which. */
    panel_withdrawn: Generated<0 | 1>
    /** What was found is not to be marked on it. */
    marks_declined: Generated<0 | 1>
    /** It is meant as a reference. */
    is_reference: Generated<0 | 1>
    /** An earlier photo of the same stays beside it. */
    both_kept: Generated<0 | 1>
    made_at: string
  }
  photo_hint: { photo_id: string; came_from: 'phone'; panel_words: string; light_words: string }
  watched_folder: {
    id: string
    path: string
    computer: string
    since: string
    is_on: number
    looked_at: string | null
  }
  watched_file: {
    folder_id: string
    path: string
    byte_count: number
    modified_ms: number
    state: 'there-before' | 'given' | 'taken' | 'refused' | 'left'
    sha256: string | null
    why: string | null
    tries: number
    intake_id: string | null
    position: number | null
    seen_at: string
  }
  panel_doc: { doc: number; panel_id: string }
  panel_words_due: { panel_id: string }
  /** Every word of `panel_words`, by column. */
  panel_vocabulary: { term: string; col: string; doc: number; cnt: number }
  /** What a panel is put in order by; only of panels that are not in the trash. */
  panel_row: {
    panel_id: string
    code_key: string
    hue_order: number | null
    lightness: number | null
    ground: string | null
    ground_key: string | null
    candy: string | null
    candy_key: string | null
    sprayed_on: string | null
    cleared: number
  }
  panel_row_due: { panel_id: string }
  /** When a kept file was last looked through; `cleared`: moved away because only a discarded photo named it. */
  file_check: { sha256: string; checked_at: string; found: 'whole' | 'missing' | 'damaged' | 'cleared' }
  /** `found` is JSON of what a look through found beside kept files. */
  check_run: { id: string; started_at: string; ended_at: string | null; found: string }
  check_left: { path: string; byte_count: number; left_at: string }
}
