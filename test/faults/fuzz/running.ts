import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { startWatched, type WatchedService } from './service.ts'

/** Services with a rack of their own, one at a time: another is started where an input has ended the last. */
export type Running = { service(): Promise<WatchedService>; end(): Promise<void> }

/** Starting takes its time on a busy machine. */
const startingMs = 60_000

export function keepRunning(limitMs: number): Running {
  const folder = mkdtempSync(join(tmpdir(), 'overground-fuzz-'))
  let current: WatchedService | null = null
  let count = 0
  return {
    service: async () => {
      if (current?.lives()) return current
      current = await startWatched(join(folder, String(count++)), limitMs)
      current.begin(startingMs)
      const made = await current.call('rack.create', { folder: current.rack, name: 'Fuzz' })
      if (!made.ok) throw new Error(`The rack could not be made: ${made.message}`)
      return current
    },
    end: async () => {
      await current?.leave()
      rmSync(folder, { recursive: true, force: true, maxRetries: 3 })
    },
  }
}
