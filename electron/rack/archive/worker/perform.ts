import Database from 'better-sqlite3'
import { migrations } from '../../migrations/list.ts'
import { builder, connect } from '../../opening/connection.ts'
import { migrate } from '../../opening/migrate.ts'
import { copyDatabase } from '../../opening/snapshot.ts'
import { writePlan } from '../carry-out.ts'
import { mergeRacks } from '../merge/merge.ts'
import { openSuspicious, proveRecords, proveRows } from '../proof/prove-records.ts'
import { takeSnapshot } from '../snapshot.ts'
import type { TaskAsk, TaskName, Tasks } from './tasks.ts'

export function perform(task: TaskAsk): Promise<Tasks[TaskName]['answer']> {
  switch (task.name) {
    case 'snapshot':
      return takeSnapshot(task.ask.database, task.ask.path, task.ask.history).then(() => ({}))
    case 'prove':
      return prove(task.ask.path, 'archive')
    case 'copyAndProve':
      return copyDatabase(task.ask.folder, task.ask.path).then(() => prove(task.ask.path, 'folder'))
    case 'merge':
      return Promise.resolve(merge(task.ask))
  }
}

/** Only what is proved to be made of our own tables is opened for writing: its triggers are ours. */
async function prove(path: string, of: 'archive' | 'folder'): Promise<Tasks['prove']['answer']> {
  const version = await proveRecords(path)
  if (version < migrations.length) {
    const raw = connect(path)
    try {
      await migrate(builder(raw), migrations)
      raw.pragma('journal_mode = DELETE')
    } finally {
      raw.close()
    }
  }
  await proveRows(path, of)
  return { broughtFrom: version < migrations.length ? version : null }
}

function merge({ theirs, ours, wish, plan }: Tasks['merge']['ask']): Tasks['merge']['answer'] {
  const [left, right] = [openSuspicious(theirs), openToRead(ours)]
  const writer = plan === null ? null : writePlan(plan)
  try {
    // one state of ours from beginning to end
    right.exec('begin')
    const merged = mergeRacks(left, right, wish, (operation) => writer?.add(operation))
    const about = left.prepare('select name, rack_id as rackId from rack_info').get() as {
      name: string
      rackId: string
    }
    return { ...merged, ...about, operations: writer?.end() ?? 0 }
  } finally {
    left.close()
    right.close()
  }
}

function openToRead(path: string): Database.Database {
  const raw = new Database(path, { readonly: true })
  raw.pragma('trusted_schema = OFF')
  raw.pragma('cache_size = -32768')
  return raw
}
