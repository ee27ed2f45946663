import Database from 'better-sqlite3'
import type { Changing } from '../history/change.ts'
import type { Row } from '../history/rows.ts'
import type { TrackedTable, TrackedTables } from '../tables.ts'
import { type Operation, phaseOf } from './merge/operations.ts'

/** What is to be done lies in a file of its own: thousands of rows do not fill the memory. */
export type PlanWriter = { add(operation: Operation): void; end(): number }

export function writePlan(path: string): PlanWriter {
  const raw = new Database(path)
  raw.pragma('journal_mode = OFF')
  raw.pragma('synchronous = OFF')
  raw.exec(
    'create table operation (phase integer, seq integer, tbl text, kind text, id text, row text, primary key (phase, seq)) without rowid',
  )
  const put = raw.prepare('insert into operation values (?, ?, ?, ?, ?, ?)')
  let seq = 0
  raw.exec('begin')
  return {
    add: (operation) => {
      const { table, kind, id, row } = operation
      put.run(phaseOf(operation), seq++, table, kind, id, row && JSON.stringify(row))
    },
    end: () => {
      raw.exec('commit')
      raw.close()
      return seq
    },
  }
}

const aTurn = 200

type Planned = { phase: number; tbl: TrackedTable; kind: Operation['kind']; id: string; row: string | null }

/** Does what was planned, a few hundred rows at a time; between them others get their turn, and a wish to stop is heard. */
export async function carryOut(
  change: Changing,
  path: string,
  onProgress: (done: number, total: number) => void,
  betweenTurns: () => Promise<void>,
): Promise<void> {
  const raw = new Database(path, { readonly: true })
  try {
    const total = Number(raw.prepare('select count(*) from operation').pluck().get())
    const next = raw.prepare(
      'select phase, seq, tbl, kind, id, row from operation where (phase, seq) > (?, ?) order by phase, seq limit ?',
    )
    let [phase, seq, done] = [-1, -1, 0]
    for (;;) {
      const some = next.all(phase, seq, aTurn) as (Planned & { seq: number })[]
      const last = some.at(-1)
      if (!last) return
      await doThese(change, some)
      ;[phase, seq] = [last.phase, last.seq]
      done += some.length
      onProgress(done, total)
      await betweenTurns()
    }
  } finally {
    raw.close()
  }
}

const rowOf = ({ row }: Planned): Row => JSON.parse(row ?? 'null') as Row

async function doThese(change: Changing, planned: readonly Planned[]): Promise<void> {
  let waiting: Planned[] = []
  const insertWaiting = async () => {
    const [first] = waiting
    if (first)
      await change.insertMany(first.tbl, waiting.map(rowOf) as unknown as ReadonlyArray<TrackedTables[TrackedTable]>)
    waiting = []
  }
  for (const one of planned) {
    if (one.kind === 'insert' && (waiting.length === 0 || waiting[0]?.tbl === one.tbl)) {
      waiting.push(one)
      continue
    }
    await insertWaiting()
    if (one.kind === 'insert') waiting.push(one)
    else if (one.kind === 'remove') await change.remove(one.tbl, one.id)
    else await change.update(one.tbl, one.id, rowOf(one))
  }
  await insertWaiting()
}
