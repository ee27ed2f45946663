import { createHash } from 'node:crypto'
import type { Row } from '../../history/rows.ts'
import type { TrackedTable } from '../../tables.ts'

/** What is to be done to the open rack, in an order in which every row finds those that it names, on the way back too. */
export type Operation = { table: TrackedTable; kind: 'insert' | 'update' | 'remove'; id: string; row: Row | null }

const removed: readonly TrackedTable[] = ['layer', 'mixture_part', 'mixture', 'booth_conditions', 'tag', 'step']

/** Photos and set-ups name each other, as materials do: what they name is put in afterwards. */
const written: readonly TrackedTable[] = [
  'light',
  'gun_setup',
  'material',
  'photo',
  'setup',
  'known_sheet',
  'reference',
  'panel',
  'tag',
  'booth_conditions',
  'mixture',
  'mixture_part',
  'step',
  'layer',
  'card',
  'tile',
  'chart',
  'area',
  'filing',
  'reading',
  'customer_job',
  'cup',
  'cup_line',
  'stock_move',
  'replacement',
  'saved_search',
]

/** Rows that come, then rows that change; a photo changes once the set-ups are there. */
export function phaseOf({ table, kind }: Pick<Operation, 'table' | 'kind'>): number {
  if (kind === 'remove') return removed.indexOf(table)
  const at = written.indexOf(table === 'photo' && kind === 'update' ? 'setup' : table)
  return 100 + at * 2 + (kind === 'insert' ? 0 : 1)
}

/**
 * An id for a row that cannot keep its own: always the same for the same row and reason, so that taking it in again finds
 * it. It keeps the time in its first half, as UUIDv7 has it (RFC 9562, 5.7; the rest is a hash, 5.8).
 */
export function derivedId(id: string, reason: string): string {
  const digest = createHash('sha256').update(`${reason} ${id}`).digest('hex')
  const time = /^[0-9a-f]{8}-[0-9a-f]{4}-7/.test(id) ? `${id.slice(0, 8)}${id.slice(9, 13)}` : digest.slice(52, 64)
  return `${time.slice(0, 8)}-${time.slice(8, 12)}-7${digest.slice(0, 3)}-a${digest.slice(3, 6)}-${digest.slice(6, 18)}`
}
