/**
 * Words to search panels by. Triggers note which panels are due, and every change ends by writing those anew, so that a
 * panel of thirty rows is written once. `doc` is a number of our own: VACUUM may renumber a table's own rowids.
 */
export const search = [
  `create table panel_doc (
    doc integer primary key,
    panel_id text not null unique references panel (id) on delete cascade
  ) strict`,
  'create table panel_words_due (panel_id text primary key not null) strict, without rowid',
  `create virtual table panel_words using fts5 (
    code, title, notes, tags, materials, grounds, tokenize = 'unicode61 remove_diacritics 2', prefix = '1 2 3'
  )`,
  ...dueWhen('panel', 'select new.id', 'select old.id'),
  ...dueWhen('tag', 'select new.panel_id', 'select old.panel_id'),
  ...dueWhen('layer', 'select new.panel_id', 'select old.panel_id'),
  ...dueWhen(
    'mixture_part',
    'select panel_id from layer where mixture_id = new.root_id',
    'select panel_id from layer where mixture_id = old.root_id',
  ),
  `create trigger material_renamed after update of name on material begin
    insert or ignore into panel_words_due
      select layer.panel_id from mixture_part join layer on layer.mixture_id = mixture_part.root_id
      where mixture_part.material_id = new.id;
  end`,
  // the words go with the panel, before its number does
  `create trigger panel_words_gone before delete on panel begin
    delete from panel_words where rowid = (select doc from panel_doc where panel_id = old.id);
  end`,
]

function dueWhen(table: string, fromNew: string, fromOld: string): string[] {
  const due = (name: string, event: string, from: string) =>
    `create trigger ${table}_${name} after ${event} on ${table} begin insert or ignore into panel_words_due ${from}; end`
  return [due('added', 'insert', fromNew), due('altered', 'update', fromNew), due('gone', 'delete', fromOld)]
}
