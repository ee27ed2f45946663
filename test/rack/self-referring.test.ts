import { sql } from 'kysely'
import { expect, test } from 'vitest'
import { selfReferring } from '../../electron/rack/history/travel.ts'
import { trackedTables } from '../../electron/rack/tables.ts'
import { freshRack } from './fresh.ts'

test('undo knows every table whose rows name each other, as SQLite itself lists them', async () => {
  const rack = await freshRack()
  const found: string[] = []
  for (const table of trackedTables) {
    const { rows } = await sql<{ table: string }>`select "table" from pragma_foreign_key_list(${table})`.execute(
      rack.db,
    )
    if (rows.some((key) => key.table === table)) found.push(table)
  }
  expect([...selfReferring].toSorted()).toEqual(found.toSorted())
})
