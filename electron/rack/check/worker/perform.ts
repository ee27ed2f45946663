import { existsSync, readdirSync, statSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { addFunctions } from '../../opening/functions.ts'
import { examine } from '../exam/exam.ts'
import { hashFile } from '../hash-file.ts'
import { keptFiles } from '../kept-files.ts'
import { walkRack } from '../walk.ts'
import type { CheckAsk, CheckTaskName, CheckTasks } from './tasks.ts'

/** One task of the worker. */
export async function perform(ask: CheckAsk): Promise<CheckTasks[CheckTaskName]['answer']> {
  switch (ask.what) {
    case 'examine':
      return reading(ask.database, examine)
    case 'list':
      return reading(ask.database, keptFiles)
    case 'walk':
      return reading(ask.database, (raw) => walkRack(ask.folder, raw))
    case 'hash':
      return hashFile(ask.path, ask.byteCount)
    case 'search':
      return search(ask)
    case 'judge':
      // seldom wanted, and with much behind it
      return (await import('../repair/judge.ts')).judge(ask.database, ask.mend)
    case 'salvage':
      return (await import('../salvage/salvage.ts')).salvage(ask)
  }
}

/** A connection of its own, for reading: the service's goes on beside it. */
function reading<T>(database: string, work: (raw: Database.Database) => T): T {
  const raw = new Database(database, { readonly: true, fileMustExist: true })
  try {
    raw.pragma('busy_timeout = 5000')
    raw.pragma('cache_size = -32768')
    addFunctions(raw)
    return work(raw)
  } finally {
    raw.close()
  }
}

/** Not looked into: nobody keeps photos there, and some of them never end. */
const skipped = new Set([
  'node_modules',
  '.git',
  '$RECYCLE.BIN',
  'System Volume Information',
  '.Trashes',
  '.Spotlight-V100',
])
const deepest = 24

function search({ places, sizes, anySize }: CheckTasks['search']['ask']): CheckTasks['search']['answer'] {
  const wanted = new Set(sizes)
  const found: CheckTasks['search']['answer'] = []
  const look = (path: string, depth: number) => {
    const facts = statSync(path, { throwIfNoEntry: false })
    if (!facts) return
    if (facts.isFile()) {
      if (!anySize && !wanted.has(facts.size)) return
      const hashed = hashFile(path, null)
      if (hashed.is === 'read') found.push({ path, sha256: hashed.sha256 })
      return
    }
    if (!facts.isDirectory() || depth > deepest) return
    for (const entry of readdirSync(path, { withFileTypes: true })) {
      // links could lead round in a circle
      if (entry.isSymbolicLink() || skipped.has(entry.name)) continue
      try {
        look(join(path, entry.name), depth + 1)
      } catch (error) {
        const code = (error as { code?: string }).code ?? ''
        if (!['EACCES', 'EPERM', 'ENOENT', 'EIO'].includes(code)) throw error
      }
    }
  }
  for (const place of places) if (existsSync(place)) look(place, 0)
  return found
}
