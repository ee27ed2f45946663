import { app, dialog } from 'electron'
import { newReference, troubleLog } from '../service/link/trouble-log.ts'

/** Writes to the log of the window's process. */
export type Note = (during: string, error?: unknown) => void

/** This many faults of the main process within a minute, and it is not to be trusted any more. */
const faultsAllowed = 5

export function windowLog(home: string): Note {
  const log = troubleLog(home, 'window')
  return (during, error) => void log.note(newReference(), during, error)
}

/**
 * Faults of the main process and ends of its helpers (graphics and the like) go to the log. One fault is lived with: the
 * service holds all data. Many end the application in words.
 */
export function keepTroubles(note: Note): void {
  let faults: number[] = []
  process.on('uncaughtException', (error) => {
    note('main process', error)
    const now = Date.now()
    faults = [...faults.filter((at) => now - at < 60_000), now]
    if (faults.length !== faultsAllowed) return
    dialog.showErrorBox(
      'Overground has to close',
      'What happened: the part that holds the window failed several times within a minute.\n\n' +
        'What is safe: every panel, photo and job that was saved.\n\n' +
        'What to do: start Overground again. If it happens again, Settings has “Copy details” for whoever is to help.',
    )
    app.quit()
  })
  process.on('unhandledRejection', (error) => note('main process, a promise', error))
  app.on('child-process-gone', (_event, { type, reason, exitCode }) => {
    if (reason !== 'clean-exit') note(`a helper ended (${type}, ${reason}, ${exitCode})`)
  })
}
