import fs, { type FileHandle } from 'node:fs/promises'
import { syncBuiltinESMExports } from 'node:module'
import { dirname } from 'node:path'

/** What was asked of the file system, in order. */
export type Step =
  | { what: 'write' | 'sync'; path: string }
  | { what: 'rename'; path: string; to: string }
  /** Rows are about to be written, or were kept. */
  | { what: 'begin' | 'kept'; path: string }

export type Recorder = { steps: Step[]; stop(): void }

/**
 * Writes down writes, fsyncs and renames of this process while they are carried out as ever. SQLite goes its own way to the
 * file system and is not seen.
 */
export function record(): Recorder {
  const steps: Step[] = []
  const { open, rename } = fs
  const watched = (handle: FileHandle, path: string): FileHandle => {
    const [sync, write, writeFile] = [
      handle.sync.bind(handle),
      handle.write.bind(handle),
      handle.writeFile.bind(handle),
    ]
    return Object.assign(handle, {
      sync: async () => {
        await sync()
        steps.push({ what: 'sync', path })
      },
      write: (...given: unknown[]) => {
        steps.push({ what: 'write', path })
        return (write as (...all: unknown[]) => unknown)(...given)
      },
      writeFile: (...given: unknown[]) => {
        steps.push({ what: 'write', path })
        return (writeFile as (...all: unknown[]) => unknown)(...given)
      },
    })
  }
  Object.assign(fs, {
    open: async (...given: Parameters<typeof open>) => watched(await open(...given), String(given[0])),
    rename: async (from: string, to: string) => {
      await rename(from, to)
      steps.push({ what: 'rename', path: from, to })
    },
  })
  syncBuiltinESMExports()
  return {
    steps,
    stop: () => {
      Object.assign(fs, { open, rename })
      syncBuiltinESMExports()
    },
  }
}

/**
 * What a power cut could undo: a file that got its final name before its bytes were on the drive, or whose name was not made
 * durable before `by` (an index into the steps).
 */
export function undurable(steps: readonly Step[], target: string, by = steps.length): string[] {
  const at = steps.findLastIndex((step, i) => i < by && step.what === 'rename' && step.to === target)
  const named = steps[at]
  if (!named || named.what !== 'rename') return [`${target} did not get its name by a rename before it was counted on`]
  const wrong: string[] = []
  const synced = steps.findLastIndex((step, i) => i < at && step.what === 'sync' && step.path === named.path)
  const written = steps.findLastIndex((step, i) => i < at && step.what === 'write' && step.path === named.path)
  if (synced < 0 || synced < written) wrong.push(`${target} was named before its bytes were on the drive`)
  const folder = steps.findIndex((step, i) => i > at && i < by && step.what === 'sync' && step.path === dirname(target))
  if (folder < 0) wrong.push(`the name of ${target} was not on the drive when it was counted on`)
  return wrong
}
