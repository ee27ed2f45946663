import { type ChildProcess, spawn } from 'node:child_process'
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { hostname } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { expect, onTestFinished, test } from 'vitest'
import { takeLock, whoHolds } from '../../electron/rack/opening/lock.ts'
import { processStart, thisHolder } from '../../electron/rack/opening/lock-holder.ts'
import type { Refusal } from '../../shared-core/contract/refusal.ts'
import { freshFolder } from './fresh.ts'

/** A process of its own that takes the lock and says so. */
async function otherHolder(folder: string): Promise<ChildProcess> {
  const lock = fileURLToPath(new URL('../../electron/rack/opening/lock.ts', import.meta.url))
  const script = `import { takeLock } from ${JSON.stringify(lock)}
    await takeLock(${JSON.stringify(folder)})
    console.log('taken')
    setInterval(() => {}, 1000)`
  const child = spawn(process.execPath, ['--input-type=module', '-e', script], { stdio: ['ignore', 'pipe', 'inherit'] })
  onTestFinished(() => void child.kill('SIGKILL'))
  await new Promise<void>((resolve, reject) => {
    child.stdout.once('data', () => resolve())
    child.once('exit', (code) => reject(new Error(`ended with ${code}`)))
  })
  return child
}

const ended = (child: ChildProcess) => new Promise((resolve) => child.once('exit', resolve))

test('the lock says who holds it, and goes when it is released', async () => {
  const folder = freshFolder()
  const lock = await takeLock(folder)
  expect(JSON.parse(readFileSync(join(folder, 'lock'), 'utf8'))).toMatchObject({ pid: process.pid, host: hostname() })
  await expect(takeLock(folder)).rejects.toMatchObject({ code: 'rack/locked' })
  expect(lock.takenOver).toBe(false)
  await lock.release()
  expect(existsSync(join(folder, 'lock'))).toBe(false)
  await (await takeLock(folder)).release()
})

test('another living process keeps its lock; once it is killed the lock is taken over', async () => {
  const folder = freshFolder()
  const child = await otherHolder(folder)
  await expect(takeLock(folder)).rejects.toThrow('on this computer')
  expect(await whoHolds(folder)).toMatchObject({ holder: { pid: child.pid }, here: true })
  const gone = ended(child)
  child.kill('SIGKILL')
  await gone
  const lock = await takeLock(folder)
  expect(lock.takenOver).toBe(true)
  await lock.release()
})

// only where the system tells when a process began
test.skipIf(processStart(process.pid) === null)(
  'a process number given to another process frees the lock',
  async () => {
    const folder = freshFolder()
    const holder = { ...thisHolder('someone'), processStart: 'long ago' }
    writeFileSync(join(folder, 'lock'), JSON.stringify(holder))
    const lock = await takeLock(folder)
    expect(lock.takenOver).toBe(true)
    await lock.release()
  },
)

test('a lock of another computer is never broken, nor one that cannot be read', async () => {
  const folder = freshFolder()
  const path = join(folder, 'lock')
  writeFileSync(path, JSON.stringify({ ...thisHolder('x'), host: 'the-other-bench', pid: 999_999_999 }))
  await expect(takeLock(folder)).rejects.toThrow('the-other-bench')
  writeFileSync(path, '')
  await expect(takeLock(folder)).rejects.toMatchObject({ code: 'rack/locked' })
  expect(existsSync(path)).toBe(true)
})

// only where the system tells its computers apart
test.skipIf(!thisHolder('x').machine)('nor one of another computer that has the same name', async () => {
  const folder = freshFolder()
  const other = { ...thisHolder('x'), machine: 'f'.repeat(32), boot: 'another', pid: 2 ** 22 + 1 }
  writeFileSync(join(folder, 'lock'), JSON.stringify(other))
  await expect(takeLock(folder)).rejects.toMatchObject({ code: 'rack/locked' })
  // the same holder on this computer is gone
  writeFileSync(join(folder, 'lock'), JSON.stringify({ ...other, machine: thisHolder('x').machine }))
  await (await takeLock(folder)).release()
})

test('of many who find a stale lock, one takes it over', async () => {
  const folder = freshFolder()
  const holder = { ...thisHolder('someone'), boot: null, pid: 2 ** 22 + 1 }
  writeFileSync(join(folder, 'lock'), JSON.stringify(holder))
  const tries = await Promise.allSettled(Array.from({ length: 8 }, () => takeLock(folder)))
  const taken = tries.filter((result) => result.status === 'fulfilled')
  expect(taken).toHaveLength(1)
  const reasons = tries.flatMap((result) => (result.status === 'rejected' ? [result.reason as Refusal] : []))
  expect(new Set(reasons.map(({ code }) => code))).toEqual(new Set(['rack/locked']))
  await taken[0]?.value.release()
})
