import { closeSync, openSync, readFileSync, statSync, utimesSync, writeFileSync, writeSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { openRack } from '../../electron/rack/opening/open.ts'
import { savePanel } from '../../electron/rack/queries/panels.ts'
import { draft, freshRack } from './fresh.ts'

/** A rack whose last page is scribbled over, which only looking through everything finds. */
async function scribbled(keepTime: boolean) {
  const rack = await freshRack()
  for (let i = 0; i < 20; i++) await rack.change({ label: 'add' }, (change) => savePanel(change, draft()))
  await rack.close()
  const path = join(rack.folder, 'rack.sqlite')
  const { size, atimeMs, mtimeMs } = statSync(path)
  const note = join(rack.folder, 'renditions', 'looked-through.json')
  const handle = openSync(path, 'r+')
  writeSync(handle, Buffer.alloc(64, 0xa5), 0, 64, size - 4096)
  closeSync(handle)
  if (keepTime) {
    utimesSync(path, atimeMs / 1000, mtimeMs / 1000)
    // as finely as the system keeps times
    writeFileSync(note, JSON.stringify({ ...JSON.parse(readFileSync(note, 'utf8')), mtimeMs: statSync(path).mtimeMs }))
  }
  return { folder: rack.folder, note }
}
const openingOf = (folder: string) =>
  openRack(folder).then(
    async (rack) => {
      await rack.close()
      return 'opened'
    },
    (error: { code: string }) => error.code,
  )

test('a database that was written to since it was closed is looked through', async () => {
  const { folder } = await scribbled(false)
  expect(await openingOf(folder)).toBe('rack/damaged')
})

test('one that was closed as it should be is looked through after a day, or without the note', async () => {
  const { folder, note } = await scribbled(true)
  const noted = JSON.parse(readFileSync(note, 'utf8')) as { checkedAt: number }
  for (const other of [
    JSON.stringify({ ...noted, checkedAt: noted.checkedAt - 25 * 60 * 60 * 1000 }),
    JSON.stringify({ ...noted, checkedAt: noted.checkedAt + 25 * 60 * 60 * 1000 }),
    JSON.stringify({ ...noted, byteCount: 1 }),
    'no note',
  ]) {
    writeFileSync(note, other)
    expect(await openingOf(folder)).toBe('rack/damaged')
  }
  // with the note it is taken at its word: that is what makes opening quick
  writeFileSync(note, JSON.stringify(noted))
  expect(await openingOf(folder)).not.toBe('rack/damaged')
})
