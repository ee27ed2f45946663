import { copyFileSync, mkdirSync, statSync, truncateSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { expect, onTestFinished, test } from 'vitest'
import { versionInWal } from '../../electron/rack/disk/wal.ts'
import { freshFolder } from './fresh.ts'

/** A database with version 1 in its file; what follows stays in the log. */
function logging(): { raw: Database.Database; folder: string } {
  const folder = freshFolder()
  const raw = new Database(join(folder, 'rack.sqlite'))
  onTestFinished(() => void raw.close())
  raw.exec('create table t (a); pragma user_version = 1')
  raw.pragma('journal_mode = WAL')
  raw.pragma('wal_autocheckpoint = 0')
  return { raw, folder }
}

/** What SQLite itself makes of database and log, in a copy cut to `bytes` of the log. */
function sqliteSays(folder: string, copy: string, bytes?: number): number {
  mkdirSync(copy)
  for (const name of ['rack.sqlite', 'rack.sqlite-wal']) copyFileSync(join(folder, name), join(copy, name))
  if (bytes !== undefined) truncateSync(join(copy, 'rack.sqlite-wal'), bytes)
  const raw = new Database(join(copy, 'rack.sqlite'))
  try {
    return Number(raw.pragma('user_version', { simple: true }))
  } finally {
    raw.close()
  }
}

test('a log that does not touch the version says nothing of it', async () => {
  const { raw, folder } = logging()
  raw.exec('insert into t values (1)')
  expect(await versionInWal(join(folder, 'rack.sqlite-wal'))).toBeNull()
})

test('the version of the last whole commit counts, wherever the log breaks off', async () => {
  const { raw, folder } = logging()
  for (const version of [2, 3, 4])
    raw.exec(`begin; insert into t values (zeroblob(9000)); pragma user_version = ${version}; commit`)
  // a log that was taken into the database is written anew from its start: old frames lie behind the new ones
  raw.pragma('wal_checkpoint(RESTART)')
  for (const version of [5, 6])
    raw.exec(`begin; insert into t values (zeroblob(3000)); pragma user_version = ${version}; commit`)
  const log = join(folder, 'rack.sqlite-wal')
  const seen = new Set<number>()
  for (let bytes = 32, round = 0; bytes < 60_000; bytes += 1700, round++) {
    const cut = join(folder, `cut-${round}`)
    copyFileSync(log, `${log}.${round}`)
    truncateSync(`${log}.${round}`, bytes)
    // the database itself stands at 4 since its log was taken in
    const found = (await versionInWal(`${log}.${round}`)) ?? 4
    expect(found).toBe(sqliteSays(folder, cut, bytes))
    seen.add(found)
  }
  expect(seen).toEqual(new Set([4, 5, 6]))
})

test('what was not committed, or was damaged, does not count', async () => {
  const { raw, folder } = logging()
  const log = join(folder, 'rack.sqlite-wal')
  raw.exec('pragma user_version = 2')
  const committed = statSync(log).size
  // more than fits into memory is written to the log before the commit
  raw.pragma('cache_size = 1')
  raw.exec('begin; pragma user_version = 3')
  raw.prepare('insert into t select zeroblob(4000) from json_each(?)').run(JSON.stringify(Array(50).fill(0)))
  expect(statSync(log).size).toBeGreaterThan(committed)
  expect(await versionInWal(log)).toBe(2)
  expect(sqliteSays(folder, join(folder, 'copy'))).toBe(2)
  truncateSync(log, 40)
  expect(await versionInWal(log)).toBeNull()
  raw.exec('rollback')
})
