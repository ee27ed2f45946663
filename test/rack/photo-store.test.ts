import { createHash } from 'node:crypto'
import { readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { storeOriginal } from '../../electron/rack/disk/photo-store.ts'
import { freshFolder } from './fresh.ts'

const filesBelow = (folder: string) =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => entry.name)

test('an original lies under its hash, unchanged, once', async () => {
  const [rack, desk] = [freshFolder(), freshFolder()]
  // longer than one chunk of reading
  const bytes = Buffer.alloc(3_000_001, 'paint')
  writeFileSync(join(desk, 'a.jpg'), bytes)
  writeFileSync(join(desk, 'b.jpg'), bytes)
  const hash = createHash('sha256').update(bytes).digest('hex')
  const stored = await storeOriginal(rack, join(desk, 'a.jpg'), 'jpeg')
  expect(stored).toEqual({
    sha256: hash,
    byteCount: bytes.length,
    path: join(rack, 'photos', hash.slice(0, 2), `${hash}.jpg`),
  })
  expect(readFileSync(stored.path).equals(bytes)).toBe(true)
  expect(await storeOriginal(rack, join(desk, 'b.jpg'), 'jpeg')).toEqual(stored)
  expect(filesBelow(rack)).toEqual([`${hash}.jpg`])
  // nobody may write to it; Windows keeps one such bit for all
  expect(statSync(stored.path).mode & 0o222).toBe(0)
})

test('a file that cannot be read to its end leaves nothing behind', async () => {
  const rack = freshFolder()
  await expect(storeOriginal(rack, join(rack, 'gone.jpg'), 'jpeg')).rejects.toMatchObject({ code: 'photo/unreadable' })
  // a folder opens, but does not read
  await expect(storeOriginal(rack, freshFolder(), 'jpeg')).rejects.toMatchObject({ code: 'photo/unreadable' })
  expect(filesBelow(rack)).toEqual([])
})

test.each([
  ['half of it', 'the who'],
  ['as long, but other bytes', 'the whole piXture'],
])('an original that a bad disk altered (%s) is put right by taking it in again', async (_, altered) => {
  const [rack, desk] = [freshFolder(), freshFolder()]
  const source = join(desk, 'a.png')
  writeFileSync(source, 'the whole picture')
  const { path } = await storeOriginal(rack, source, 'png')
  rmSync(path)
  writeFileSync(path, altered, { mode: 0o444 })
  await storeOriginal(rack, source, 'png')
  expect(readFileSync(path, 'utf8')).toBe('the whole picture')
})
