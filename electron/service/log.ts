import type { Failure } from '../../shared-core/contract/calls.ts'
import { scrubber, stringsIn } from './link/scrub.ts'
import { logFile, newReference, type TroubleLog, troubleLog } from './link/trouble-log.ts'

/** The names of the rack are waited for this long; without them an error of our own keeps its message to itself. */
const namesMs = 2_000

/** What a page tells of itself. `place` is which of the places was shown, never what it showed. */
export type PageReport = { kind: string; place: string; name: string; message: string; stack: string }

/** Logs a bug once and gives it a reference, under which the painter can report it. */
export type Log = {
  /** @param input  what the call was asked with: none of it stands in the log */
  unexpected(error: unknown, during: string, input?: unknown): Failure<'unexpected'>
  /** @returns the reference of what a page reported */
  report(report: PageReport): string
  /** The process is about to end: written at once, without what could name anybody. */
  last(error: unknown): void
  /** Everything that was to be written is written. */
  settled(): Promise<void>
}

/** @param names  what the open rack calls its panels, customers, people and files */
export function openLog(folder: string, names: () => Promise<Iterable<string>>): Log {
  const log: TroubleLog = troubleLog(folder, 'service')
  let writing: Promise<unknown> = Promise.resolve()
  /** What takes the rack's names out of a text; there may be tens of thousands, so it is made anew only for others. */
  let hideNames: { names: readonly string[]; hide: (text: string) => string } | null = null

  const ready = async (): Promise<((text: string) => string) | null> => {
    const known = await inTime(names())
    if (known === null) return null
    const now = [...known]
    const same = hideNames?.names.length === now.length && now.every((name, place) => name === hideNames?.names[place])
    if (!hideNames || !same) hideNames = { names: now, hide: scrubber(now) }
    return hideNames.hide
  }

  const note = (reference: string, during: string, error: unknown, typed: unknown) => {
    const hideTyped = scrubber(stringsIn(typed))
    writing = writing.then(async () => {
      const hide = await ready()
      log.note(reference, during, hide ? error : speechless(error), (text) => hideTyped(hide ? hide(text) : text))
    })
  }

  return {
    unexpected: (error, during, input) => {
      const reference = newReference()
      note(reference, during, error, input)
      return {
        code: 'unexpected',
        message: `Something went wrong inside Overground (reference ${reference}).`,
        remedy: `Try it again. If it happens again, report it with the reference; what happened stands in ${logFile(folder, 'service')}.`,
      }
    },
    report: ({ kind, place, name, message, stack }) => {
      const reference = newReference()
      const told = Object.assign(new Error(message), { name, stack: `${name}\n${stack}` })
      note(reference, `page, ${kind}, ${place}`, told, undefined)
      return reference
    },
    last: (error) => void log.note(newReference(), 'outside of any call', speechless(error)),
    settled: async () => {
      await writing
    },
  }
}

async function inTime(names: Promise<Iterable<string>>): Promise<Iterable<string> | null> {
  let timer: ReturnType<typeof setTimeout> | undefined
  const late = new Promise<null>((resolve) => {
    timer = setTimeout(() => resolve(null), namesMs)
    timer.unref()
  })
  try {
    return await Promise.race([names, late])
  } catch {
    return null // the rack may be what is broken
  } finally {
    clearTimeout(timer)
  }
}

/** Faults of the language and of the system say what they are without what was typed; all others may say anything. */
function speechless(error: unknown): unknown {
  if (!(error instanceof Error)) return error === undefined ? undefined : new Error('(its message is left out)')
  const plain = error instanceof TypeError || error instanceof RangeError || error instanceof ReferenceError
  if (plain) return error
  const { code } = error as NodeJS.ErrnoException
  const mute = Object.assign(new Error('(its message is left out)'), { name: error.name, stack: error.stack })
  return code === undefined ? mute : Object.assign(mute, { code })
}
