/**
 * `follows`: the number of the change that was the last one when this one was made, 0 for none, null where that is no
 * longer known: so what was taken back and then left behind can still be looked at as it stood.
 */
const line = [
  'alter table change add column follows integer',
  'alter table change add column undone_at text',
  'alter table change add column undone_by text',
  // several left behind one after the other: whether the second stood on the first cannot be told any more
  `update change set follows = case
    when state = 'abandoned' and (
      select p.state from change p where p.seq < change.seq order by p.seq desc limit 1
    ) = 'abandoned' then null
    else coalesce((
      select p.seq from change p where p.seq < change.seq and p.state <> 'abandoned' order by p.seq desc limit 1
    ), 0) end`,
  'create index change_who on change (who, seq)',
]

/**
 * Which rows of changes are about what: a panel, or something that panels share (a material, a gun set-up, a photo and its
 * areas, a light), by its id.
 */
const about = `create table change_about (
  about text not null,
  change_seq integer not null,
  row_seq integer not null,
  primary key (about, change_seq, row_seq)
) strict, without rowid`

const image = 'coalesce(change_row.after, change_row.before)'
const said = (column: string) => `json_extract(${image}, '$.${column}')`
/** Both images of a layer or step, for what it named before and after. */
const bothImages = (table: string) =>
  `(select before as image from change_row where table_name = '${table}' and before is not null
    union all select after from change_row where table_name = '${table}' and after is not null)`

/** Panels by what belongs to them: steps, and the mixtures and booth conditions of layers. */
const owners = [
  'create table owner (id text primary key not null, panel_id text not null) strict, without rowid',
  'insert or ignore into owner select id, panel_id from step',
  `insert or ignore into owner select json_extract(image, '$.id'), json_extract(image, '$.panel_id')
    from ${bothImages('step')}`,
  ...['mixture_id', 'booth_id'].flatMap((column) => [
    `insert or ignore into owner select ${column}, panel_id from layer where ${column} is not null`,
    `insert or ignore into owner select json_extract(image, '$.${column}'), json_extract(image, '$.panel_id')
      from ${bothImages('layer')} where json_extract(image, '$.${column}') is not null`,
  ]),
]
const ownerOf = (id: string) => `(select panel_id from owner where id = ${id})`

/** Of every change there is. */
export const fillAbout = [
  ...owners,
  `insert or ignore into change_about (about, change_seq, row_seq)
    select about, change_seq, row_seq from (
      select change.seq as change_seq, change_row.seq as row_seq, case
        when table_name in ('panel', 'material', 'gun_setup', 'photo', 'area', 'light') then row_id
        when table_name in ('tag', 'layer', 'step', 'filing') then ${said('panel_id')}
        when table_name = 'reading' then ${ownerOf(said('step_id'))}
        when table_name in ('mixture', 'mixture_part') then ${ownerOf(said('root_id'))}
        when table_name = 'booth_conditions' then ${ownerOf('row_id')}
      end as about
      from change_row join change on change.id = change_row.change_id
    ) where about is not null`,
  'drop table owner',
]

/** What befell the rack as a whole; `after_seq` is the change that was the last one then. */
const events = [
  `create table rack_event (
    id text primary key not null,
    at text not null,
    after_seq integer not null,
    who text not null,
    kind text not null,
    label text not null
  ) strict`,
  'create index rack_event_after on rack_event (after_seq)',
]

export const history: readonly string[] = [...line, about, ...fillAbout, ...events]
