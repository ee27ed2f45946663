import type { Migration } from '../opening/migrate.ts'

/** `<event>` on `<table>` notes in `due` the panels that `from` tells. */
const noteDue = (due: string, name: string, event: string, table: string, from: string): string =>
  `create trigger ${name} after ${event} on ${table} begin insert or ignore into ${due} ${from}; end`

/**
 * What panels are put in order by, one row for each that is not in the trash: written as `panel_words` are, when triggers
 * have noted them. Equals go by `code_key` everywhere, and what has nothing to go by comes last.
 */
const rows = [
  `create table panel_row (
    panel_id text primary key not null references panel (id) on delete cascade,
    code_key text not null,
    hue_order real,
    lightness real,
    ground text,
    ground_key text,
    candy text,
    candy_key text,
    sprayed_on text,
    cleared integer not null check (cleared in (0, 1))
  ) strict, without rowid`,
  'create index panel_row_code on panel_row (code_key)',
  'create index panel_row_hue on panel_row (hue_order is null, hue_order, code_key)',
  'create index panel_row_lightness on panel_row (lightness is null, lightness, code_key)',
  'create index panel_row_ground on panel_row (ground_key is null, ground_key, code_key)',
  'create index panel_row_candy on panel_row (candy_key is null, candy_key, code_key)',
  'create index panel_row_date on panel_row (sprayed_on is null, sprayed_on desc, code_key)',
  'create index panel_row_cleared on panel_row (cleared)',
  'create table panel_row_due (panel_id text primary key not null) strict, without rowid',
]

const ofLayer = (which: string) => `select ${which}.panel_id`
const ofPart = (which: string) => `select panel_id from layer where mixture_id = ${which}.root_id`
const ofReading = (which: string) => `select panel_id from step where id = ${which}.step_id`

const rowsDue = (
  [
    ['panel', 'code, sprayed_on, deleted_at', (which) => `select ${which}.id`],
    ['layer', 'panel_id, position, kind, name, coats, mixture_id', ofLayer],
    ['step', 'panel_id, position, coats', ofLayer],
    ['mixture_part', 'root_id, position, material_id', ofPart],
    ['reading', 'step_id, l, a, b, illuminant, observer, view, stage, taken_at, deleted_at', ofReading],
  ] as ReadonlyArray<[table: string, columns: string, from: (which: 'old' | 'new') => string]>
).flatMap(([table, columns, from]) => [
  noteDue('panel_row_due', `${table}_row_added`, 'insert', table, from('new')),
  noteDue('panel_row_due', `${table}_row_altered`, `update of ${columns}`, table, from('new')),
  noteDue('panel_row_due', `${table}_row_gone`, 'delete', table, from('old')),
])

const moreRowsDue = [
  noteDue(
    'panel_row_due',
    'material_row_altered',
    'update of name, kind',
    'material',
    `select layer.panel_id from mixture_part join layer on layer.mixture_id = mixture_part.root_id
      where mixture_part.material_id = new.id`,
  ),
]

/**
 * A change of what the words do not hold no longer has them written anew. A panel in the trash has no words: so a word
 * that only such a panel has is one that the rack does not know.
 */
const words = [
  'drop trigger panel_altered',
  noteDue(
    'panel_words_due',
    'panel_altered',
    'update of code, title, notes, substrate, sprayed_by, deleted_at',
    'panel',
    'select new.id',
  ),
  'drop trigger layer_altered',
  noteDue('panel_words_due', 'layer_altered', 'update of panel_id, name, mixture_id', 'layer', 'select new.panel_id'),
  'drop trigger tag_altered',
  noteDue('panel_words_due', 'tag_altered', 'update of panel_id, name', 'tag', 'select new.panel_id'),
  // every word of the rack, by column
  "create virtual table panel_vocabulary using fts5vocab (panel_words, 'col')",
]

const searches = [
  `create table saved_search (
    id text primary key not null,
    name text not null collate nocase unique check (name <> ''),
    filter text not null check (json_valid(filter)),
    sort text not null,
    grouping text not null,
    created_at text not null
  ) strict`,
]

// not only of live panels: a smaller index would be preferred for everything that asks for live ones
const indexes = ['create index panel_status on panel (status)']

/** Opening a rack writes what is due, so that noting all panels fills the new table. */
const allDue = [
  'insert into panel_row_due select id from panel',
  'insert or ignore into panel_words_due select id from panel where deleted_at is not null',
]

/** Order by index, the rack's vocabulary, saved searches. */
export const tenThousandPanels: Migration = {
  name: 'ten thousand panels',
  up: async (run) => {
    for (const statement of [...rows, ...rowsDue, ...moreRowsDue, ...words, ...searches, ...indexes, ...allDue])
      await run(statement)
  },
}
