import type { Reply } from '../../../shared-core/contract/host.ts'

export type WatchLimits = {
  /** Pause between questions. */
  askEveryMs: number
  /** Without an answer for so long, a service hangs. */
  hungMs: number
  /** The same while it starts, or is known to do long work that cannot be broken off: checking a database, copying one. */
  patientMs: number
}

export type Watch = { end(): void }

/**
 * Asks a service again and again whether it still answers. Only time that this process lived through is counted: a computer
 * that slept, or a host that was held itself, wakes up with a clock that has leapt, and nobody hung. A service that a
 * debugger holds is left alone.
 * @param ask      the question; comes back when the service answers
 * @param patient  whether long work is going on at present
 * @param hung     called once, and then nothing more
 */
export function watchOver(
  ask: () => Promise<Reply>,
  patient: () => boolean,
  hung: () => void,
  { askEveryMs, hungMs, patientMs }: WatchLimits,
  clock: () => number = Date.now,
): Watch {
  let waiting = false
  let hasStarted = false
  /** How long the question that is open has been; and how much of that was no time of long work. */
  let unansweredMs = 0
  let idleMs = 0
  let before = clock()
  const timer = setInterval(() => {
    const now = clock()
    const slept = now - before > 3 * askEveryMs || now < before
    before = now
    if (slept) unansweredMs = idleMs = 0
    else if (waiting) {
      unansweredMs += askEveryMs
      if (hasStarted && !patient()) idleMs += askEveryMs
    }
    if (waiting && (idleMs >= hungMs || unansweredMs >= patientMs)) {
      end()
      hung()
    } else if (!waiting) {
      waiting = true
      void ask().then((reply) => {
        waiting = false
        hasStarted = true
        unansweredMs = idleMs = 0
        if (reply.ok && (reply.value as { inspected?: boolean }).inspected) end()
      })
    }
  }, askEveryMs)
  timer.unref()
  const end = () => clearInterval(timer)
  return { end }
}

/** Calls and jobs of these areas may hold the service for minutes: they read or copy a whole database in one go. */
const long =
  /^(rack\.(open|create|copyHere|takeOver|readAgain|keepBoth)|archive\.|backups\.|check\.|panelsCsv\.|history\.(undo|redo)$)/
export const takesLong = (name: string): boolean => long.test(name)
