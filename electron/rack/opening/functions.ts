import type Database from 'better-sqlite3'
import { hueOrder } from '../../../shared-core/colour/hue-order.ts'
import { sortKey } from '../../../shared-core/words/sort-key.ts'

/**
 * Our own functions in SQL, for statements that write what is derived. The schema itself uses none of them: another
 * program can open a rack.
 */
export function addFunctions(raw: Database.Database): void {
  const settings = { deterministic: true, directOnly: true }
  raw.function('sort_key', settings, (name: unknown) => (typeof name === 'string' ? sortKey(name) : null))
  raw.function('hue_order', settings, (l: unknown, a: unknown, b: unknown) =>
    typeof l === 'number' && typeof a === 'number' && typeof b === 'number' ? hueOrder(l, a, b) : null,
  )
}
