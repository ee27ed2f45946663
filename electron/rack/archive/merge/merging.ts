import type { MergeParts } from '../../../../shared-core/records/archive.ts'
import type { Row } from '../../history/rows.ts'
import type { TrackedTable } from '../../tables.ts'
import type { Operation } from './operations.ts'
import { derivedId } from './operations.ts'
import { folded, type Side, text } from './sides.ts'
import type { Differences } from './who-went-on.ts'

/** Two racks while one is taken into the other. Nothing is written: what is to be done goes into `sink`. */
export type Merging = {
  readonly theirs: Side
  readonly ours: Side
  readonly verdict: Differences['verdict']
  readonly photoRows: Differences['photoRows']
  readonly sink: (operation: Operation) => void
  readonly parts: MergeParts
  /** Our id of what both have, or what theirs will have here; by table and their id. */
  readonly ids: Map<string, string>
  /** Rows that come in, by table and our id. */
  readonly coming: Set<string>
  /** Rows that changed already, by table and our id: what they will be. */
  readonly altered: Map<string, Row>
  /** Originals and data sheets that come in, by their name in an archive. */
  readonly files: Map<string, { byteCount: number | null }>
  /** Codes of panels that come in, by our id. */
  readonly given: Map<string, string>
  readonly names: Names
  readonly codes: Codes
}

type Names = { free(table: 'light' | 'saved_search', name: string): string }

/** Codes that are free here, and the next numbers to be given. */
export type Codes = {
  /** The code itself when it is free, otherwise the next of its kind. Either way it is taken from then on. */
  take(kind: 'panel' | 'cup' | 'customer_job', code: string): string
  isFree(kind: 'panel' | 'cup' | 'customer_job', code: string): boolean
  counters(): { next_code: number; next_cup: number; next_job: number }
}

export const keyOf = (table: TrackedTable, id: string): string => `${table} ${id}`

export function makeNames(ours: Side): Names {
  const taken = new Map<string, Set<string>>()
  const namesOf = (table: 'light' | 'saved_search'): Set<string> => {
    const known = taken.get(table)
    if (known) return known
    const names = new Set(ours.all(`select name from "${table}"`).map((row) => folded(text(row.name))))
    taken.set(table, names)
    return names
  }
  return {
    free: (table, name) => {
      const names = namesOf(table)
      let free = name
      for (let n = 2; names.has(folded(free)); n++) free = `${name} (${n})`
      names.add(folded(free))
      return free
    },
  }
}

const letters = { panel: 'P', cup: 'C', customer_job: 'J' } as const
const counterOf = { panel: 'next_code', cup: 'next_cup', customer_job: 'next_job' } as const
type Coded = keyof typeof letters

/** @param kept  codes that come later and keep theirs, folded: nobody else gets them */
export function makeCodes(ours: Side, kept: ReadonlySet<string>): Codes {
  const [info = {}] = ours.all('select next_code, next_cup, next_job from rack_info')
  const next = { next_code: Number(info.next_code), next_cup: Number(info.next_cup), next_job: Number(info.next_job) }
  const codesIn = (statement: string) => new Set(ours.all(statement).map((row) => folded(text(row.code))))
  const used: Record<Coded, Set<string>> = {
    // a code in the trash may be taken by a panel that has it, but is not given
    panel: codesIn('select code from panel where deleted_at is null'),
    cup: codesIn('select code from cup'),
    customer_job: codesIn('select code from customer_job'),
  }
  const trashed = codesIn('select code from panel where deleted_at is not null')
  const given = (kind: Coded): string => {
    for (;;) {
      const code = `${letters[kind]}-${String(next[counterOf[kind]]++).padStart(4, '0')}`
      const key = folded(code)
      const isKept = kind === 'panel' && (kept.has(key) || trashed.has(key))
      if (!used[kind].has(key) && !isKept) return code
    }
  }
  const isFree = (kind: Coded, code: string) => !used[kind].has(folded(code))
  return {
    isFree,
    take: (kind, code) => {
      const taken = isFree(kind, code) ? code : given(kind)
      used[kind].add(folded(taken))
      return taken
    },
    counters: () => ({ ...next }),
  }
}

/** An id for their row: its own where that is free here. */
export function freeId(m: Merging, table: TrackedTable, id: string, reason: string): string {
  const isTaken = m.coming.has(keyOf(table, id)) || m.ours.get(table, id) !== undefined
  return isTaken ? derivedId(id, `${reason} ${table}`) : id
}

export function comeIn(m: Merging, table: TrackedTable, row: Row): void {
  const id = text(row.id)
  m.coming.add(keyOf(table, id))
  m.sink({ table, kind: 'insert', id, row })
}

export function goOut(m: Merging, table: TrackedTable, id: string): void {
  m.sink({ table, kind: 'remove', id, row: null })
}

/** Says what of a row is to be other than it is here; nothing when it is so already. @returns whether anything is */
export function alter(m: Merging, table: TrackedTable, id: string, wanted: Row): boolean {
  const key = keyOf(table, id)
  const now = m.altered.get(key) ?? m.ours.get(table, id)
  if (now && Object.keys(wanted).every((name) => now[name] === wanted[name])) return false
  m.altered.set(key, { ...now, ...wanted })
  m.sink({ table, kind: 'update', id, row: wanted })
  return true
}
