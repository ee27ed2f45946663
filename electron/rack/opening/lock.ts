import { randomUUID } from 'node:crypto'
import { link, open, readFile, rename, rm, stat, utimes } from 'node:fs/promises'
import { hostname } from 'node:os'
import { join } from 'node:path'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import { Holder, isProvablyGone, thisHolder } from './lock-holder.ts'

/** How often the lock's time stamp is renewed, so that a person can see whether its holder still lives. */
const heartbeatMs = 10_000

export type Lock = {
  /** The lock was left by a service that did not end properly. */
  readonly takenOver: boolean
  /** False once the lock file is no longer ours; then nothing may be written any more. */
  held(): boolean
  release(): Promise<void>
}

/**
 * Takes the rack for this process. The file appears with its content in one step, and a lock is broken only when its
 * holder is provably gone.
 * @throws Refusal `rack/locked` saying who has it; system errors where the folder cannot be written
 */
export async function takeLock(folder: string): Promise<Lock> {
  const path = join(folder, 'lock')
  const mine = thisHolder(randomUUID())
  let takenOver = false
  for (let attempt = 0; ; attempt++) {
    if (await putNew(path, mine)) return keep(path, mine, takenOver)
    const found = await look(path)
    if (found === 'absent') continue
    if (found === 'unreadable' || !isProvablyGone(found) || attempt > 20) throw await refusal(path, found)
    takenOver = (await setAside(path, found)) || takenOver
  }
}

/** Creates the lock whole, or returns false because there is one. */
async function putNew(path: string, holder: Holder): Promise<boolean> {
  const text = `${JSON.stringify(holder, null, 2)}\n`
  const temporary = `${path}.${holder.nonce}`
  try {
    await writeNew(temporary, text)
    await link(temporary, path)
    return true
  } catch (error) {
    const code = (error as { code?: string }).code ?? ''
    if (code === 'EEXIST') return false
    // drives formatted for cameras have no hard links: there the file is made first and filled next
    if (['ENOTSUP', 'EOPNOTSUPP', 'ENOSYS', 'EMLINK', 'EPERM', 'EINVAL'].includes(code) && (await exists(temporary)))
      return writeNew(path, text).then(
        () => true,
        (second: { code?: string }) => {
          if (second.code === 'EEXIST') return false
          throw second
        },
      )
    throw error
  } finally {
    await rm(temporary, { force: true })
  }
}

async function writeNew(path: string, text: string): Promise<void> {
  const handle = await open(path, 'wx')
  try {
    await handle.writeFile(text)
    await handle.sync()
  } finally {
    await handle.close()
  }
}

const exists = (path: string) =>
  stat(path).then(
    () => true,
    () => false,
  )

async function look(path: string): Promise<Holder | 'absent' | 'unreadable'> {
  // a lock made in two steps is empty for a moment
  for (let attempt = 0; attempt < 10; attempt++) {
    try {
      const parsed = Holder.safeParse(JSON.parse(await readFile(path, 'utf8')))
      if (parsed.success) return parsed.data
    } catch (error) {
      if ((error as { code?: string }).code === 'ENOENT') return 'absent'
      if (!(error instanceof SyntaxError)) throw error
    }
    await new Promise((resolve) => setTimeout(resolve, 50))
  }
  return 'unreadable'
}

/**
 * Moves a stale lock away. Between looking and moving, another service may have taken over already: then what was moved
 * is that one's lock, and it is put back.
 */
async function setAside(path: string, stale: Holder): Promise<boolean> {
  const aside = `${path}.${randomUUID()}`
  try {
    await rename(path, aside)
  } catch (error) {
    if ((error as { code?: string }).code === 'ENOENT') return false
    throw error
  }
  const moved = await look(aside)
  if (typeof moved === 'object' && moved.nonce !== stale.nonce) {
    await link(aside, path).catch(() => undefined)
    await rm(aside, { force: true })
    return false
  }
  await rm(aside, { force: true })
  return true
}

async function refusal(path: string, found: Holder | 'unreadable'): Promise<Refusal> {
  if (found === 'unreadable')
    return new Refusal(
      'rack/locked',
      'The rack has a lock that cannot be read, so it is not certain that nobody has it open.',
      'Make sure that it is open nowhere else, delete the file “lock” in its folder, and open it again.',
    )
  const here = found.host === hostname()
  const sign = await stat(path).then(
    ({ mtime }) => `; last sign of life ${mtime.toISOString()}`,
    () => '',
  )
  return new Refusal(
    'rack/locked',
    `The rack is open already: on ${here ? 'this computer' : found.host}, process ${found.pid}, since ${found.openedAt}${sign}.`,
    here
      ? 'Close it in the other window or browser tab first.'
      : `Close it on ${found.host}. If that computer is gone for good, delete the file “lock” in the rack’s folder.`,
  )
}

function keep(path: string, mine: Holder, takenOver: boolean): Lock {
  let held = true
  const beat = async () => {
    const found = await look(path)
    // somebody deleted the file by hand: it is put back unless another service was quicker
    if (found === 'absent') held = held && (await putNew(path, mine))
    else held = held && typeof found === 'object' && found.nonce === mine.nonce
    if (held) await utimes(path, new Date(), new Date())
  }
  const timer = setInterval(() => {
    // a drive that does not answer for a moment does not lose the lock: only another's name in it does
    beat().catch((error: unknown) => console.error('The rack’s lock could not be renewed:', error))
  }, heartbeatMs)
  timer.unref()
  return {
    takenOver,
    held: () => held,
    release: async () => {
      clearInterval(timer)
      held = false
      const found = await look(path)
      if (typeof found === 'object' && found.nonce === mine.nonce) await rm(path, { force: true })
    },
  }
}
