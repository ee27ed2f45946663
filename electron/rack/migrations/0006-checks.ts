/** What was looked through of a rack and what was found, so that a look through goes on where it stopped. */
export const checks = [
  // `cleared`: moved away because only a discarded photo named it
  `create table file_check (
    sha256 text primary key not null,
    checked_at text not null,
    found text not null check (found in ('whole', 'missing', 'damaged', 'cleared'))
  ) strict, without rowid`,
  // the last that came to its end, and one under way; `found` is what is not about kept files
  `create table check_run (
    id text primary key not null,
    started_at text not null,
    ended_at text,
    found text not null check (json_valid(found))
  ) strict`,
  // unknown files that somebody said are fine where they are
  `create table check_left (
    path text primary key not null,
    byte_count integer not null,
    left_at text not null
  ) strict, without rowid`,
]
