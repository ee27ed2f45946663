import { randomUUID } from 'node:crypto'
import { link, open, readdir, readFile, rm, stat, utimes } from 'node:fs/promises'
import { join } from 'node:path'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import { withRetries } from '../disk/with-retries.ts'
import { Holder, isProvablyGone, isThisComputer, thisHolder } from './lock-holder.ts'
import { inTurnOf } from './turn.ts'

/** How often the lock's time stamp is renewed, so that a person can see whether its holder still lives. */
export const heartbeatMs = 10_000
/** A lock looked at so long ago, or at a time that has not come yet, is looked at again before something is written. */
const staleMs = 2 * heartbeatMs

export type Lock = {
  /** The lock was left by a service that did not end properly. */
  readonly takenOver: boolean
  /** False once the lock file is no longer ours; then nothing may be written any more. */
  held(): boolean
  /**
   * As `held`, looking at the file again when that was due: a computer that slept, or whose clock was put, may have lost its
   * lock to another meanwhile.
   */
  verified(): Promise<boolean>
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
    if (found === 'unreadable' || !isProvablyGone(found) || attempt > 20) throw refusal(found)
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
    await withRetries(() => rm(temporary, { force: true }))
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
 * Takes a stale lock away, one process after the other: of many that have looked at it, one takes it away, and the others look
 * again. Without that the second might take away the lock that the first has made meanwhile.
 */
const setAside = (path: string, stale: Holder): Promise<boolean> =>
  inTurnOf(`${path}.turn`, async () => {
    const present = await look(path)
    if (typeof present === 'string' || present.nonce !== stale.nonce) return false
    await withRetries(() => rm(path, { force: true }))
    return true
  })

/** Removes locks that were being made by processes that are gone; those of others who try just now stay. */
export async function sweepLocks(folder: string): Promise<void> {
  for (const name of await readdir(folder)) {
    if (!/^lock\.[0-9a-f-]{36}$/.test(name)) continue
    const path = join(folder, name)
    const found = await look(path)
    const isForgotten =
      found === 'unreadable' ? isQuiet(await signOf(path)) : found !== 'absent' && isProvablyGone(found)
    if (isForgotten) await withRetries(() => rm(path, { force: true }))
  }
}

function refusal(found: Holder | 'unreadable'): Refusal {
  if (found === 'unreadable')
    return new Refusal(
      'rack/locked',
      'The rack has a lock that cannot be read, so it is not certain that nobody has it open.',
      'Make sure that it is open nowhere else, delete the file “lock” in its folder, and open it again.',
    )
  const here = isThisComputer(found)
  return new Refusal(
    'rack/locked',
    `The rack is open already on ${here ? 'this computer' : found.host}.`,
    here
      ? 'Close it in the other window or browser tab first.'
      : `Close it on ${found.host}, or only look at it here. If that computer is gone for good, take the rack over.`,
  )
}

/** Who holds a rack, as somebody who only looks is told. */
export type HolderSeen = {
  holder: Holder
  /** On this computer. */
  here: boolean
  /** When its file was renewed last, by the holder's own clock; null where the drive does not say. */
  lastSign: Date | null
}

/** @returns null when nobody has the rack, `unreadable` when a lock is there that says nothing */
export async function whoHolds(folder: string): Promise<HolderSeen | 'unreadable' | null> {
  const path = join(folder, 'lock')
  const found = await look(path)
  if (found === 'absent') return null
  if (found === 'unreadable') return found
  if (isProvablyGone(found)) return null
  const lastSign = await signOf(path)
  return { holder: found, here: isThisComputer(found), lastSign }
}

const signOf = (path: string): Promise<Date | null> =>
  stat(path).then(
    ({ mtime }) => mtime,
    () => null,
  )

/** Younger than this, the holder is at work, whatever the painter believes. */
const quietMs = 5 * 60_000
/** Whether a holder has given no sign of life for so long that it may be asked to be taken over. */
export const isQuiet = (lastSign: Date | null): boolean =>
  lastSign === null || Math.abs(Date.now() - lastSign.getTime()) >= quietMs

/** As long as two signs of life are apart, and a little more. */
const watchMs = 2 * heartbeatMs + 2000

/**
 * Takes a lock of another computer away, because the painter is sure that it is gone. Not while it gives signs of life: neither
 * by its time stamp nor, as clocks of two computers differ, while one looks on.
 * @param nonce  that of the holder whom the painter was told about
 * @throws Refusal `rack/locked`
 */
export async function breakLock(
  folder: string,
  nonce: string,
  wait: (ms: number) => Promise<void> = (ms) => new Promise((resolve) => setTimeout(resolve, ms)),
): Promise<void> {
  const path = join(folder, 'lock')
  const found = await look(path)
  if (found === 'absent') return
  if (found === 'unreadable' || found.nonce !== nonce || isThisComputer(found)) throw refusal(found)
  const before = await signOf(path)
  if (!isQuiet(before)) throw refusal(found)
  await wait(watchMs)
  const after = await signOf(path)
  const still = await look(path)
  const isSilent = typeof still === 'object' && still.nonce === nonce && after?.getTime() === before?.getTime()
  if (!isSilent) throw refusal(still === 'absent' ? found : still)
  await setAside(path, found)
}

/** For a folder that only services of this computer use: whether none does any more. */
export async function isGone(folder: string): Promise<boolean> {
  const found = await look(join(folder, 'lock')).catch(() => 'unreadable' as const)
  if (found === 'unreadable') return false
  return found === 'absent' || isProvablyGone(found)
}

function keep(path: string, mine: Holder, takenOver: boolean): Lock {
  let held = true
  let lookedAt = Date.now()
  let looking: Promise<void> | null = null
  const beat = async () => {
    const found = await look(path)
    // somebody deleted the file by hand: it is put back unless another service was quicker
    if (found === 'absent') held = held && (await putNew(path, mine))
    else held = held && typeof found === 'object' && found.nonce === mine.nonce
    if (held) await utimes(path, new Date(), new Date())
    lookedAt = Date.now()
  }
  const beatOnce = () => {
    looking ??= beat().finally(() => {
      looking = null
    })
    return looking
  }
  let failed = ''
  const timer = setInterval(() => {
    // a drive that does not answer for a moment does not lose the lock: only another's name in it does
    beatOnce().then(
      () => {
        failed = ''
      },
      (error: unknown) => {
        // a drive that was pulled out is told once, not each time
        const code = (error as { code?: string }).code ?? String(error)
        // that its folder is gone is told where it is looked at
        if (code !== failed && code !== 'ENOENT') console.error('The rack’s lock could not be renewed:', error)
        failed = code
      },
    )
  }, heartbeatMs)
  timer.unref()
  return {
    takenOver,
    held: () => held,
    verified: async () => {
      const since = Date.now() - lookedAt
      // a drive that is gone is told as such by whoever looks at the database
      if (since < 0 || since > staleMs) await beatOnce().catch(() => undefined)
      return held
    },
    release: async () => {
      clearInterval(timer)
      held = false
      const found = await look(path)
      if (typeof found === 'object' && found.nonce === mine.nonce) await withRetries(() => rm(path, { force: true }))
    },
  }
}
