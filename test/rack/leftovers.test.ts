import { existsSync, mkdirSync, readdirSync, utimesSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { sweepForgotten, sweepHalfDone } from '../../electron/rack/disk/durable.ts'
import { thisHolder } from '../../electron/rack/opening/lock-holder.ts'
import { openRack } from '../../electron/rack/opening/open.ts'
import { inTurnOf } from '../../electron/rack/opening/turn.ts'
import { freshFolder, freshRack } from './fresh.ts'

test('what a copy and SQLite left half done goes, and nothing else', async () => {
  const folder = freshFolder()
  const half = ['.a.part', '.a.part-journal', '.a.part-wal', '.a.part-shm']
  const kept = ['a.part', '.a', 'rack-2026-by-hand.sqlite', '.a.parting']
  for (const name of [...half, ...kept]) writeFileSync(join(folder, name), '')
  await sweepHalfDone(folder)
  expect(readdirSync(folder).toSorted()).toEqual(kept.toSorted())
})

test('where others may be writing, only what was forgotten goes', async () => {
  const folder = freshFolder()
  for (const name of ['.old.part', '.new.part']) writeFileSync(join(folder, name), '')
  const hourAgo = new Date(Date.now() - 3_600_000)
  utimesSync(join(folder, '.old.part'), hourAgo, hourAgo)
  await sweepForgotten(folder)
  expect(readdirSync(folder)).toEqual(['.new.part'])
})

test('locks that were being made by processes that are gone are swept, those of others who try stay', async () => {
  const rack = await freshRack()
  await rack.close()
  const gone = { ...thisHolder('gone'), boot: '00000000-0000-0000-0000-000000000000' }
  const [left, trying] = ['lock.00000000-0000-4000-8000-000000000001', 'lock.00000000-0000-4000-8000-000000000002']
  writeFileSync(join(rack.folder, left), JSON.stringify(gone))
  writeFileSync(join(rack.folder, trying), JSON.stringify(thisHolder('trying')))
  const again = await openRack(rack.folder)
  await again.close()
  expect(existsSync(join(rack.folder, left))).toBe(false)
  expect(existsSync(join(rack.folder, trying))).toBe(true)
})

test('those who wait for a turn come one after the other, and its file is gone in the end', async () => {
  const folder = freshFolder()
  mkdirSync(join(folder, 'rack'))
  const path = join(folder, 'rack', 'lock.turn')
  let inside = 0
  let most = 0
  await Promise.all(
    Array.from({ length: 8 }, () =>
      inTurnOf(path, async () => {
        most = Math.max(most, ++inside)
        await new Promise((resolve) => setTimeout(resolve, 5))
        inside--
      }),
    ),
  )
  expect(most).toBe(1)
  expect(readdirSync(join(folder, 'rack'))).toEqual([])
  // a turn that fails is given back
  await expect(inTurnOf(path, () => Promise.reject(new Error('no')))).rejects.toThrow('no')
  await inTurnOf(path, async () => undefined)
})
