import { v7 } from 'uuid'
import { applicationId } from '../disk/header.ts'
import type { Migration } from '../opening/migrate.ts'
import { search } from './0001-first-search.ts'

/**
 * Rows are removed one by one through the history, which must see each: so references say RESTRICT (the default, checked
 * at once) and nothing cascades behind the history's back. Only the history's own rows, intakes and search words cascade.
 */
const tables = [
  `create table rack_info (
    id integer primary key check (id = 1),
    name text not null,
    next_code integer not null check (next_code > 0),
    revision integer not null,
    created_at text not null
  ) strict`,

  `create table panel (
    id text primary key not null,
    code text not null collate nocase check (length(code) between 1 and 24),
    title text not null,
    status text not null check (status in ('planned', 'sprayed', 'retired')),
    sprayed_on text check (sprayed_on glob '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    sprayed_by text not null,
    substrate text not null,
    notes text not null,
    created_at text not null,
    deleted_at text
  ) strict`,
  // a code in the trash may be taken again
  'create unique index panel_code on panel (code) where deleted_at is null',
  // but is not given again
  'create index panel_code_given on panel (code)',

  `create table tag (
    id text primary key not null,
    panel_id text not null references panel (id) on delete restrict,
    position integer not null,
    name text not null collate nocase check (name <> '')
  ) strict`,
  'create index tag_panel on tag (panel_id, position)',
  'create index tag_name on tag (name)',

  `create table material (
    id text primary key not null,
    name text not null collate nocase check (name <> ''),
    kind text not null check (kind in ('concentrate', 'carrier', 'hardener', 'reducer', 'base', 'clear', 'sealer',
      'pearl', 'flake', 'other')),
    maker_name text not null,
    density_kg_per_l real check (density_kg_per_l > 0),
    volume_solids_percent real check (volume_solids_percent between 0 and 100),
    cost_per_l real check (cost_per_l >= 0),
    batch text not null,
    data_sheet text not null,
    notes text not null
  ) strict`,
  'create index material_name on material (name, kind)',

  `create table mixture (
    id text primary key not null,
    root_id text not null references mixture (id) on delete restrict,
    name text not null,
    basis text not null check (basis in ('volume', 'mass'))
  ) strict`,
  'create index mixture_root on mixture (root_id)',

  `create table mixture_part (
    id text primary key not null,
    mixture_id text not null references mixture (id) on delete restrict,
    root_id text not null references mixture (id) on delete restrict,
    position integer not null,
    amount real not null check (amount > 0),
    unit text not null check (unit in ('parts', 'percent-of-total', 'percent-on-top', 'grams-per-litre')),
    material_id text references material (id) on delete restrict,
    child_id text unique references mixture (id) on delete restrict,
    check ((material_id is null) <> (child_id is null))
  ) strict`,
  'create index mixture_part_root on mixture_part (root_id, position)',
  'create index mixture_part_mixture on mixture_part (mixture_id)',
  'create index mixture_part_material on mixture_part (material_id)',

  `create table gun_setup (
    id text primary key not null,
    name text not null collate nocase check (name <> ''),
    gun text not null,
    tip_mm real check (tip_mm > 0),
    inlet_kpa real check (inlet_kpa > 0),
    cap_kpa real check (cap_kpa > 0),
    distance_mm real check (distance_mm > 0),
    overlap_percent real check (overlap_percent >= 0 and overlap_percent < 100)
  ) strict`,
  'create index gun_setup_name on gun_setup (name)',

  `create table booth_conditions (
    id text primary key not null,
    temperature_c real,
    humidity_percent real check (humidity_percent between 0 and 100),
    flash_off_min real check (flash_off_min >= 0),
    reducer_grade text not null
  ) strict`,

  `create table layer (
    id text primary key not null,
    panel_id text not null references panel (id) on delete restrict,
    position integer not null,
    kind text not null check (kind in ('sealer', 'undercoat', 'ground', 'candy', 'solid', 'mid-coat', 'barrier-clear',
      'clear')),
    name text not null collate nocase,
    coats real not null check (coats >= 0),
    mixture_id text unique references mixture (id) on delete restrict,
    gun_setup_id text references gun_setup (id) on delete restrict,
    booth_id text unique references booth_conditions (id) on delete restrict,
    notes text not null
  ) strict`,
  'create index layer_panel on layer (panel_id, position)',
  'create index layer_kind on layer (kind, name)',
  'create index layer_gun_setup on layer (gun_setup_id)',

  `create table step (
    id text primary key not null,
    panel_id text not null references panel (id) on delete restrict,
    position integer not null,
    coats real not null check (coats >= 0),
    notes text not null
  ) strict`,
  'create index step_panel on step (panel_id, position)',

  `create table light (
    id text primary key not null,
    position integer not null,
    name text not null collate nocase unique check (name <> ''),
    kelvin real check (kelvin > 0)
  ) strict`,

  `create table photo (
    id text primary key not null,
    sha256 text not null unique check (length(sha256) = 64 and sha256 not glob '*[^0-9a-f]*'),
    name text not null,
    format text not null check (format in ('jpeg', 'png', 'tiff', 'webp', 'avif')),
    width integer not null check (width > 0),
    height integer not null check (height > 0),
    byte_count integer not null check (byte_count >= 0),
    bits integer not null check (bits in (8, 16)),
    profile text not null,
    profile_assumed integer not null check (profile_assumed in (0, 1)),
    taken_at text,
    camera text,
    exposure_s real,
    f_number real,
    iso real,
    light_id text references light (id) on delete restrict,
    view text not null check (view in ('near-glare', 'face', 'flop')),
    stage text not null check (stage in ('wet', 'dry', 'cleared', 'cured')),
    filed integer not null check (filed in (0, 1)),
    laid_out_at text,
    cautions text not null check (json_valid(cautions)),
    added_at text not null,
    deleted_at text
  ) strict`,
  'create index photo_tray on photo (added_at) where filed = 0 and deleted_at is null',
  'create index photo_laid_out on photo (laid_out_at) where laid_out_at is not null',
  'create index photo_light on photo (light_id)',

  `create table card (
    id text primary key not null,
    photo_id text not null unique references photo (id) on delete restrict,
    quad text not null check (json_valid(quad)),
    l real not null,
    a real not null,
    b real not null
  ) strict`,

  `create table area (
    id text primary key not null,
    photo_id text not null references photo (id) on delete restrict,
    position integer,
    step_id text references step (id) on delete restrict,
    kind text not null check (kind in ('quad', 'round', 'fade')),
    points text not null check (json_valid(points)),
    radius real check (radius > 0),
    cut_key text not null,
    check ((kind = 'round') = (radius is not null))
  ) strict`,
  'create index area_photo on area (photo_id, position)',
  'create index area_step on area (step_id)',
  'create index area_cut on area (cut_key)',

  `create table reference (
    id text primary key not null,
    name text not null check (name <> ''),
    notes text not null,
    created_at text not null,
    deleted_at text
  ) strict`,

  `create table filing (
    id text primary key not null,
    photo_id text not null references photo (id) on delete restrict,
    panel_id text references panel (id) on delete restrict,
    reference_id text references reference (id) on delete restrict,
    filed_at text not null,
    check ((panel_id is null) <> (reference_id is null))
  ) strict`,
  'create index filing_photo on filing (photo_id)',
  'create index filing_panel on filing (panel_id)',
  'create index filing_reference on filing (reference_id)',

  `create table reading (
    id text primary key not null,
    step_id text references step (id) on delete restrict,
    reference_id text references reference (id) on delete restrict,
    photo_id text references photo (id) on delete restrict,
    area_id text references area (id) on delete restrict,
    l real not null,
    a real not null,
    b real not null,
    illuminant text not null,
    observer text not null check (observer in ('2', '10')),
    geometry text not null,
    level text not null,
    bound90 real not null check (bound90 > 0),
    parts text not null check (json_valid(parts)),
    cautions text not null check (json_valid(cautions)),
    cut_key text,
    light_id text references light (id) on delete restrict,
    view text not null check (view in ('near-glare', 'face', 'flop')),
    stage text not null check (stage in ('wet', 'dry', 'cleared', 'cured')),
    age_days real check (age_days >= 0),
    taken_at text not null,
    deleted_at text,
    check ((step_id is null) <> (reference_id is null))
  ) strict`,
  'create index reading_step on reading (step_id) where step_id is not null',
  'create index reading_reference on reading (reference_id) where reference_id is not null',
  'create index reading_photo on reading (photo_id)',
  'create index reading_area on reading (area_id)',
  'create index reading_light on reading (light_id)',

  `create table change (
    id text primary key not null,
    seq integer not null unique,
    at text not null,
    who text not null,
    label text not null,
    panel_id text,
    state text not null check (state in ('done', 'undone', 'abandoned'))
  ) strict`,
  'create index change_state on change (state, seq)',
  'create index change_panel on change (panel_id, seq)',

  `create table change_row (
    change_id text not null references change (id) on delete cascade,
    seq integer not null,
    table_name text not null,
    row_id text not null,
    before text check (json_valid(before)),
    after text check (json_valid(after)),
    primary key (change_id, seq),
    check (before is not null or after is not null)
  ) strict, without rowid`,

  `create table intake (
    id text primary key not null,
    created_at text not null
  ) strict`,
  `create table intake_file (
    intake_id text not null references intake (id) on delete cascade,
    position integer not null,
    path text not null,
    name text not null,
    state text not null check (state in ('waiting', 'working', 'done')),
    tries integer not null check (tries >= 0),
    photo_id text references photo (id) on delete set null,
    fate text check (fate in ('taken', 'duplicate', 'refused', 'cancelled')),
    why text check (json_valid(why)),
    primary key (intake_id, position)
  ) strict`,
  'create index intake_file_photo on intake_file (photo_id)',
]

/** Nominal colour temperatures as the trade names its lights; common practice, no source. */
const lights: ReadonlyArray<readonly [name: string, kelvin: number]> = [
  ['booth tubes', 5000],
  ['LED lamp', 5000],
  ['sun', 5500],
  ['open shade', 7000],
  ['overcast', 6500],
  ['workshop lamp', 3000],
]

export const firstRack: Migration = {
  name: 'first rack',
  up: async (run) => {
    await run(`pragma application_id = ${applicationId}`)
    for (const statement of [...tables, ...search]) await run(statement)
    await run('insert into rack_info (id, name, next_code, revision, created_at) values (1, ?, 1, 0, ?)', [
      '',
      new Date().toISOString(),
    ])
    for (const [position, [name, kelvin]] of lights.entries())
      await run('insert into light (id, position, name, kelvin) values (?, ?, ?, ?)', [v7(), position, name, kelvin])
  },
}
