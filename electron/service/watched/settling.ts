import type { SeenFile } from '../../rack/queries/watched.ts'
import type { Ending } from './whole-file.ts'

/** How long a file must stay as it is before it is taken for complete, in milliseconds. */
export type Patience = {
  /** One that ends as its kind of picture ends. */
  wholeMs: number
  /** One that may have something behind its picture, or may be cut. */
  otherMs: number
  /** One that is cut: whoever copies it may have stopped for a while. */
  cutMs: number
}

export const usualPatience: Patience = { wholeMs: 2_000, otherMs: 30_000, cutMs: 600_000 }

type Waiting = { byteCount: number; modifiedMs: number; since: number; ending: Ending | null }

/** Files that were seen and are not known to be complete. Times are by a clock that does not leap. */
export type Settling = {
  /**
   * Notes how a file was found.
   * @param endingOf  asked at most once for each state of the file
   * @returns whether it has been like this for long enough
   */
  isComplete(file: SeenFile, endingOf: () => Promise<Ending>): Promise<boolean>
  /** It is done with, or begins anew. */
  forget(path: string): void
  /** Forgets what was not seen at the last look. */
  keepOnly(paths: ReadonlySet<string>): void
}

export function makeSettling(patience: Patience, now: () => number = () => performance.now()): Settling {
  const waiting = new Map<string, Waiting>()
  return {
    isComplete: async (file, endingOf) => {
      const { path, byteCount, modifiedMs } = file
      const before = waiting.get(path)
      if (!before || before.byteCount !== byteCount || before.modifiedMs !== modifiedMs) {
        waiting.set(path, { byteCount, modifiedMs, since: now(), ending: null })
        return false
      }
      const lasted = now() - before.since
      if (lasted < patience.wholeMs) return false
      before.ending ??= await endingOf()
      const least = { whole: patience.wholeMs, unclear: patience.otherMs, cut: patience.cutMs }
      return lasted >= least[before.ending]
    },
    forget: (path) => void waiting.delete(path),
    keepOnly: (paths) => {
      for (const path of waiting.keys()) if (!paths.has(path)) waiting.delete(path)
    },
  }
}
