import { randomBytes } from 'node:crypto'
import { appendFileSync, mkdirSync, renameSync, statSync } from 'node:fs'
import { join } from 'node:path'
import type { Failure } from '../../shared-core/contract/calls.ts'

const keptBytes = 2_000_000

/** Logs a bug once and gives it a reference, under which the painter can report it. */
export type Log = { unexpected(error: unknown, during: string): Failure<'unexpected'> }

export function openLog(folder: string): Log {
  const logs = join(folder, 'logs')
  mkdirSync(logs, { recursive: true })
  const path = join(logs, 'service.log')
  return {
    unexpected: (error, during) => {
      const reference = randomBytes(4).toString('hex')
      const told = error instanceof Error ? (error.stack ?? error.message) : String(error)
      const entry = `${new Date().toISOString()} ${reference} ${during}\n${told}\n`
      console.error(entry)
      try {
        turnOver(path)
        appendFileSync(path, entry)
      } catch (second) {
        // a log that cannot be written must not hide what it was to tell
        console.error('The log could not be written:', second)
      }
      return {
        code: 'unexpected',
        message: `Something went wrong inside Overground (reference ${reference}).`,
        remedy: `Try it again. If it happens again, report it with the reference; what happened stands in ${path}.`,
      }
    },
  }
}

function turnOver(path: string): void {
  const size = statSync(path, { throwIfNoEntry: false })?.size ?? 0
  if (size > keptBytes) renameSync(path, `${path}.old`)
}
