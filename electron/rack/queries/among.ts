import { type RawBuilder, sql } from 'kysely'

/** A list of ids as one bound value: the statement stays the same whatever the list's length. */
export const among = (ids: readonly string[]): RawBuilder<string> =>
  sql<string>`(select value from json_each(${JSON.stringify(ids)}))`
