import { type FSWatcher, watch } from 'node:fs'

/** More would take from what the system has of them for everybody. */
const mostListened = 32
/** Files come many at once: one look is enough for all. */
const togetherMs = 200

/** The system's word that something happened in a folder: a reason to look sooner, and never the only one. */
export type Hints = {
  /** In these folders from now on, as many as may be. */
  listen(folders: readonly string[]): void
  /**
   * Until the time is over, or a while after something happened.
   * @param leastMs  no sooner than this
   * @throws the signal's reason
   */
  wait(ms: number, leastMs: number, signal: AbortSignal): Promise<void>
  close(): void
}

/**
 * On Windows a folder that is listened to cannot be thrown out with its drive: there, the clock alone has to do.
 */
export function makeHints(canListen = process.platform !== 'win32'): Hints {
  const listening = new Map<string, FSWatcher>()
  let wake: (() => void) | null = null
  let happened = false
  const drop = (folder: string) => {
    listening.get(folder)?.close()
    listening.delete(folder)
  }
  const hear = () => {
    happened = true
    wake?.()
  }
  return {
    listen: (folders) => {
      const wanted = new Set(canListen ? folders.slice(0, mostListened) : [])
      for (const folder of listening.keys()) if (!wanted.has(folder)) drop(folder)
      for (const folder of wanted) {
        if (listening.has(folder)) continue
        try {
          const watcher = watch(folder, { persistent: false }, hear)
          watcher.on('error', () => drop(folder))
          listening.set(folder, watcher)
        } catch {
          // the system has no more of them, or the folder has just gone: the clock has to do
        }
      }
    },
    wait: async (ms, leastMs, signal) => {
      const { promise, resolve } = Promise.withResolvers<void>()
      const from = performance.now()
      let sooner: NodeJS.Timeout | undefined
      wake = () => {
        sooner ??= setTimeout(resolve, Math.max(togetherMs, leastMs - (performance.now() - from)))
      }
      const later = setTimeout(resolve, ms)
      const stop = () => resolve()
      signal.addEventListener('abort', stop, { once: true })
      if (happened) wake()
      try {
        if (!signal.aborted) await promise
        happened = false
        signal.throwIfAborted()
      } finally {
        wake = null
        clearTimeout(later)
        clearTimeout(sooner)
        signal.removeEventListener('abort', stop)
      }
    },
    close: () => {
      for (const folder of listening.keys()) drop(folder)
    },
  }
}
