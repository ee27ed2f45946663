import type { Migration } from '../opening/migrate.ts'

/** Sheets whose colours a chart photo taught, and the sheet that a photo shows. */
const sheets = [
  `create table known_sheet (
    id text primary key not null,
    series integer not null check (series between 0 and 65535),
    light_id text references light (id) on delete restrict,
    photo_id text references photo (id) on delete restrict,
    fit text not null check (json_valid(fit)),
    learned_at text not null,
    deleted_at text
  ) strict`,
  'create index known_sheet_series on known_sheet (series, learned_at) where deleted_at is null',
  'create index known_sheet_light on known_sheet (light_id)',
  'create index known_sheet_photo on known_sheet (photo_id)',
  'alter table photo add column sheet text check (sheet is null or json_valid(sheet))',
]

/**
 * What was found in photos of the tray, and what whoever sent them said. It can be made again, or is no more than a hint: it
 * is not in the history.
 */
const proposals = [
  // `version`: of the program that looked; what an older one found is looked for again. `panel_id`: whom the painter said it
  // shows; `panel_withdrawn`, `marks_declined`, `is_reference`: what the painter said against filing it unseen; `both_kept`: it is no retake; `colours`: along the panels found; `fingerprint`: what it looks like, to know another of the same sight
  `create table photo_proposal (
    photo_id text primary key not null references photo (id) on delete cascade,
    version integer not null,
    state text not null check (state in ('looking', 'made', 'failed')),
    tries integer not null check (tries >= 0),
    found text check (json_valid(found)),
    colours text check (json_valid(colours)),
    why text check (json_valid(why)),
    fingerprint text,
    alike_id text references photo (id) on delete set null,
    panel_id text references panel (id) on delete set null,
    panel_withdrawn integer not null default 0 check (panel_withdrawn in (0, 1)),
    marks_declined integer not null default 0 check (marks_declined in (0, 1)),
    is_reference integer not null default 0 check (is_reference in (0, 1)),
    both_kept integer not null default 0 check (both_kept in (0, 1)),
    made_at text not null
  ) strict, without rowid`,
  'create index photo_proposal_alike on photo_proposal (alike_id) where alike_id is not null',
  'create index photo_proposal_panel on photo_proposal (panel_id) where panel_id is not null',
  // whose light is known, by when they were taken
  'create index photo_shot on photo (camera, taken_at) where light_id is not null and deleted_at is null',
  // no reference: undoing an intake takes the photo's row, and redoing it brings the row back; what was said is said still
  `create table photo_hint (
    photo_id text primary key not null,
    came_from text not null check (came_from in ('phone', 'folder')),
    panel_words text not null,
    light_words text not null
  ) strict, without rowid`,
  'alter table intake_file add column hint text check (hint is null or json_valid(hint))',
]

/**
 * Folders whose new photos are taken in, each on one computer, and which of their files were. `given`: to the intake named beside it, which has
 * not come to its end; `left`: the painter stopped that. `why` is the code of what a refused file was refused for.
 */
const watched = [
  `create table watched_folder (
    id text primary key not null,
    path text not null,
    computer text not null,
    since text not null,
    is_on integer not null check (is_on in (0, 1)),
    looked_at text,
    unique (computer, path)
  ) strict`,
  `create table watched_file (
    folder_id text not null references watched_folder (id) on delete cascade,
    path text not null,
    byte_count integer not null,
    modified_ms real not null,
    state text not null check (state in ('there-before', 'given', 'taken', 'refused', 'left')),
    sha256 text,
    why text,
    tries integer not null default 0,
    intake_id text,
    position integer,
    seen_at text not null,
    primary key (folder_id, path, byte_count, modified_ms)
  ) strict, without rowid`,
  'create index watched_file_sha256 on watched_file (sha256) where sha256 is not null',
  'create index watched_file_intake on watched_file (intake_id, position) where intake_id is not null',
  `create index watched_file_given on watched_file (intake_id) where state = 'given'`,
]

/** Photos find their panel by themselves: by a sheet, a label, or what the phone that sent them said. */
export const nearlyWithoutHands: Migration = {
  name: 'nearly without hands',
  up: async (run) => {
    for (const statement of [...sheets, ...proposals, ...watched]) await run(statement)
  },
}
