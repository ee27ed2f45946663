import { spawnSync } from 'node:child_process'
import { chmodSync, chownSync, copyFileSync, existsSync, mkdirSync, readdirSync, rmSync, statSync } from 'node:fs'
import { join } from 'node:path'
import { expect, onTestFinished, test } from 'vitest'
import { copyOwn } from '../../electron/rack/disk/copy-own.ts'
import { createRack } from '../../electron/rack/opening/open.ts'
import { copyDatabase } from '../../electron/rack/opening/snapshot.ts'
import { savePanel } from '../../electron/rack/queries/panels.ts'
import { draft, freshFolder } from './fresh.ts'

/** A rack as somebody copied it who was killed: with a log. */
async function withLog(): Promise<string> {
  const rack = await createRack(join(freshFolder(), 'rack'), 'Wall')
  await rack.change({ label: 'add' }, (change) => savePanel(change, draft({ title: 'in the log' })))
  const folder = join(freshFolder(), 'copied')
  mkdirSync(folder)
  for (const name of ['rack.sqlite', 'rack.sqlite-wal']) copyFileSync(join(rack.folder, name), join(folder, name))
  await rack.close()
  return folder
}

const mayWrite = (path: string) => (statSync(path).mode & 0o200) !== 0

test('a copy of a file that may only be read may be written by its owner', async () => {
  const folder = await withLog()
  const [from, to] = [join(folder, 'rack.sqlite'), join(freshFolder(), 'copy')]
  chmodSync(from, 0o444)
  await copyOwn(from, to)
  expect(mayWrite(to)).toBe(true)
  expect(mayWrite(from)).toBe(false)
  // also over one that is there
  chmodSync(from, 0o440)
  await copyOwn(from, to)
  expect(mayWrite(to)).toBe(true)
})

test.each([
  ['the records', ['rack.sqlite'], 0o755],
  ['the log', ['rack.sqlite-wal'], 0o755],
  ['everything', ['rack.sqlite', 'rack.sqlite-wal'], 0o555],
])('%s marked as read-only: the copy to look at may be written', async (_, names, mode) => {
  const folder = await withLog()
  onTestFinished(() => chmodSync(folder, 0o755))
  for (const name of names) chmodSync(join(folder, name), 0o444)
  chmodSync(folder, mode)
  const home = freshFolder()
  await copyDatabase(folder, join(home, 'rack.sqlite'))
  for (const name of readdirSync(home)) expect(mayWrite(join(home, name))).toBe(true)
})

/** "nobody": an administrator is let through where others are not. */
const nobody = 65_534
const isRoot = process.getuid?.() === 0

const look = `
const { openAsItCan } = await import('./electron/service/place/open-as-it-can.ts')
const rack = await openAsItCan(process.argv[1], 'usual', process.argv[2], {})
const titles = await rack.db.selectFrom('panel').select('title').execute()
await rack.close()
console.log(JSON.stringify({ access: rack.access, titles }))
`

function lookAsOthers(folder: string, home: string) {
  const { stdout, stderr } = spawnSync(process.execPath, ['--input-type=module', '-e', look, '--', folder, home], {
    cwd: join(import.meta.dirname, '../..'),
    encoding: 'utf8',
    ...(isRoot ? { uid: nobody, gid: nobody } : {}),
  })
  return { stdout, stderr }
}

test.each([
  ['the records', ['rack.sqlite'], 0o777],
  ['the log', ['rack.sqlite-wal'], 0o777],
  ['everything', ['rack.sqlite', 'rack.sqlite-wal'], 0o555],
])('%s marked as read-only: anybody may look at the rack', async (_, names, mode) => {
  const folder = await withLog()
  const home = freshFolder()
  onTestFinished(() => chmodSync(folder, 0o755))
  for (const path of [join(folder, '..'), folder]) chmodSync(path, 0o755)
  for (const name of names) chmodSync(join(folder, name), 0o444)
  if (isRoot) {
    chownSync(home, nobody, nobody)
    for (const name of readdirSync(folder)) chownSync(join(folder, name), nobody, nobody)
    chownSync(folder, nobody, nobody)
  }
  chmodSync(folder, mode)
  const { stdout, stderr } = lookAsOthers(folder, home)
  expect(stderr).toBe('')
  expect(JSON.parse(stdout)).toMatchObject({
    access: { mode: 'reading', why: 'read-only' },
    titles: [{ title: 'in the log' }],
  })
  expect(existsSync(join(folder, 'lock'))).toBe(false)
  rmSync(join(home, 'looked-at'), { recursive: true, force: true })
})
