import { randomBytes } from 'node:crypto'
import { appendFileSync, mkdirSync, readFileSync, renameSync, rmSync, statSync } from 'node:fs'
import { join } from 'node:path'
import { knownWords, scrubber } from './scrub.ts'

/** Who writes: each process has a file of its own, so that none cuts another's off. */
export const writers = ['service', 'window', 'browser'] as const
export type Writer = (typeof writers)[number]

const fileBytes = 256 * 1024
/** Older files kept beside the one that is written. */
const olderKept = 3
/** A fault that comes again and again must neither wear the disk nor push out what came first. */
const entriesPerMinute = 30
const messageLength = 2000
const framesKept = 25

export const logsFolder = (appFolder: string) => join(appFolder, 'logs')
export const logFile = (appFolder: string, writer: Writer, older = 0) =>
  join(logsFolder(appFolder), older === 0 ? `${writer}.log` : `${writer}.${older}.log`)

export type TroubleLog = {
  /**
   * Writes one entry, without anything that says whose computer it is; printed as well.
   * @param during  what was being done, or what came about
   * @param error   undefined: there is none of its own
   * @param hide    takes further words out: what was typed, names of the rack
   * @returns what was written under the reference; null when too much was written within this minute
   */
  note(reference: string, during: string, error: unknown, hide?: (text: string) => string): string | null
}

export const newReference = () => randomBytes(4).toString('hex')

export function troubleLog(appFolder: string, writer: Writer, now: () => number = Date.now): TroubleLog {
  let minute = 0
  let written = 0
  const write = (text: string) => {
    console.error(text)
    try {
      mkdirSync(logsFolder(appFolder), { recursive: true })
      turnOver(appFolder, writer, text.length)
      appendFileSync(logFile(appFolder, writer), text, { mode: 0o600 })
    } catch (error) {
      // a log that cannot be written must not hide what it was to tell
      console.error('The log could not be written:', (error as NodeJS.ErrnoException).code ?? 'unknown')
    }
  }
  return {
    note(reference, during, error, hide = (text) => text) {
      const at = now()
      if (Math.floor(at / 60_000) !== minute) {
        minute = Math.floor(at / 60_000)
        written = 0
      }
      written++
      if (written > entriesPerMinute) {
        if (written === entriesPerMinute + 1)
          write(`${new Date(at).toISOString()} more of the same minute is left out\n`)
        return null
      }
      const words = error === undefined ? '' : `\n${inWords(error)}`
      const told = hide(scrubber(knownWords(appFolder))(oneLine(during) + words))
      const entry = `${new Date(at).toISOString()} ${reference} ${told}\n`
      write(entry)
      return entry
    },
  }
}

const oneLine = (text: string) => text.replaceAll(/[\p{Cc}\p{Zl}\p{Zp}]+/gu, ' ').slice(0, messageLength)

/** What an error says and where it came from, its causes too: kind, code, message on one line, then the stack. */
export function inWords(error: unknown, depth = 0): string {
  if (!(error instanceof Error)) return oneLine(typeof error === 'string' ? error : kindOf(error))
  const { code } = error as NodeJS.ErrnoException
  const frames = (error.stack ?? '')
    .split('\n')
    .filter((line) => /^\s+at /.test(line))
    .map((line) => `    ${oneLine(line.trim())}`)
    .slice(0, framesKept)
  const head = `${oneLine(error.name)}${code === undefined ? '' : ` ${oneLine(code)}`}: ${oneLine(error.message)}`
  const cause = error.cause !== undefined && depth < 3 ? [`because of ${inWords(error.cause, depth + 1)}`] : []
  return [head, ...frames, ...cause].join('\n')
}

const kindOf = (value: unknown) => (value === null ? 'null' : `a thrown ${typeof value}`)

function turnOver(appFolder: string, writer: Writer, more: number): void {
  const size = statSync(logFile(appFolder, writer), { throwIfNoEntry: false })?.size ?? 0
  if (size === 0 || size + more <= fileBytes) return
  rmSync(logFile(appFolder, writer, olderKept), { force: true })
  for (let older = olderKept - 1; older >= 0; older--) {
    try {
      renameSync(logFile(appFolder, writer, older), logFile(appFolder, writer, older + 1))
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'ENOENT') throw error
    }
  }
}

/** The newest entries of all writers, oldest first, as they stand in the files. */
export function lastEntries(appFolder: string, most: number): string[] {
  const entries = writers.flatMap((writer) =>
    [1, 0]
      .flatMap((older) => {
        try {
          const text = readFileSync(logFile(appFolder, writer, older), 'utf8')
          return text.split(/^(?=\d{4}-\d\d-\d\dT\d\d:)/m).filter((one) => /^\d{4}/.test(one))
        } catch {
          return [] // that one has written nothing
        }
      })
      .map((entry) => ({ writer, entry })),
  )
  return entries
    .toSorted((a, b) => (a.entry.slice(0, 24) < b.entry.slice(0, 24) ? -1 : 1))
    .slice(-most)
    .map(({ writer, entry }) => `[${writer}] ${entry.trimEnd()}`)
}
