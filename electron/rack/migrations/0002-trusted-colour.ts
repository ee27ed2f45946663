import type { Migration } from '../opening/migrate.ts'

/** Columns of a photo as version 1 made them, in its order. */
const kept = [
  'id',
  'sha256',
  'name',
  'format',
  'width',
  'height',
  'byte_count',
  'bits',
  'profile',
  'profile_assumed',
  'taken_at',
  'camera',
  'exposure_s',
  'f_number',
  'iso',
  'light_id',
  'view',
  'stage',
  'filed',
  'laid_out_at',
  'cautions',
  'added_at',
  'deleted_at',
].join(', ')

const setups = [
  `create table setup (
    id text primary key not null,
    name text not null check (name <> ''),
    camera text,
    light_id text references light (id) on delete restrict,
    notes text not null,
    photo_id text references photo (id) on delete restrict,
    fit text not null check (json_valid(fit)),
    calibrated_at text not null,
    created_at text not null,
    deleted_at text
  ) strict`,
  'create index setup_camera on setup (camera, calibrated_at) where deleted_at is null',
  'create index setup_light on setup (light_id) where light_id is not null',
  'create index setup_photo on setup (photo_id) where photo_id is not null',
]

/** The photo's formats stand in a CHECK, which SQLite cannot alter: the table is made anew and takes over the name. */
const photos = [
  `create table photo_anew (
    id text primary key not null,
    sha256 text not null unique check (length(sha256) = 64 and sha256 not glob '*[^0-9a-f]*'),
    name text not null,
    format text not null check (format in ('jpeg', 'png', 'tiff', 'webp', 'avif', 'heic', 'dng')),
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
    white_balance text,
    focal_length_mm real check (focal_length_mm > 0),
    light_id text references light (id) on delete restrict,
    view text not null check (view in ('near-glare', 'face', 'flop')),
    stage text not null check (stage in ('wet', 'dry', 'cleared', 'cured')),
    setup_id text references setup (id) on delete restrict,
    flat_photo_id text references photo (id) on delete restrict,
    mm_per_pixel real check (mm_per_pixel > 0),
    filed integer not null check (filed in (0, 1)),
    laid_out_at text,
    cautions text not null check (json_valid(cautions)),
    added_at text not null,
    deleted_at text
  ) strict`,
  `insert into photo_anew (${kept}) select ${kept} from photo order by rowid`,
  'drop table photo',
  'alter table photo_anew rename to photo',
  // as version 1 had them
  'create index photo_tray on photo (added_at) where filed = 0 and deleted_at is null',
  'create index photo_laid_out on photo (laid_out_at) where laid_out_at is not null',
  'create index photo_light on photo (light_id)',
  'create index photo_setup on photo (setup_id) where setup_id is not null',
  'create index photo_flat on photo (flat_photo_id) where flat_photo_id is not null',
]

const marks = [
  `create table tile (
    id text primary key not null,
    photo_id text not null references photo (id) on delete restrict,
    position integer not null,
    kind text not null check (kind in ('white', 'grey', 'black')),
    quad text not null check (json_valid(quad)),
    l real not null,
    a real not null,
    b real not null
  ) strict`,
  'create index tile_photo on tile (photo_id, position)',
  `create table chart (
    id text primary key not null,
    photo_id text not null unique references photo (id) on delete restrict,
    quad text not null check (json_valid(quad)),
    chart_table text not null
  ) strict`,
]

/** The shares are null for readings of version 1, which did not say what they share. */
const readings = [
  'alter table reading add column texture text check (json_valid(texture))',
  'alter table reading add column setup_id text references setup (id) on delete restrict',
  'alter table reading add column spectrum text check (json_valid(spectrum))',
  'alter table reading add column instrument text',
  'alter table reading add column bound_shared_photo real check (bound_shared_photo >= 0)',
  'alter table reading add column bound_shared_setup real check (bound_shared_setup >= 0)',
  'create index reading_setup on reading (setup_id) where setup_id is not null',
]

/** Set-ups, tiles and charts in photos, blank-sheet photos, texture, spectra, and what readings share. */
export const trustedColour: Migration = {
  name: 'trusted colour',
  rebuildsTables: true,
  up: async (run) => {
    for (const statement of [...setups, ...photos, ...marks, ...readings]) await run(statement)
  },
}
