import { createRequire } from 'node:module'
import type { Event } from '../../shared-core/contract/calls.ts'
import type { Rack } from '../rack/opening/open.ts'
import { type AppFiles, openAppFiles } from './app-files.ts'
import { type CurrentRack, makeCurrentRack, noRackOpen } from './current-rack.ts'
import { type Documents, openDocuments } from './documents.ts'
import { type Film, makeFilm } from './film/film.ts'
import { type Jobs, makeJobs } from './jobs.ts'
import { type Log, openLog } from './log.ts'

/** What handlers work with. */
export type Context = {
  readonly appFiles: AppFiles
  readonly current: CurrentRack
  readonly jobs: Jobs
  readonly documents: Documents
  readonly film: Film
  readonly log: Log
  readonly emit: (event: Event) => void
  /** The open rack. @throws Refusal `rack/none-open` */
  rack(): Rack
  /** Leaves nothing half done: jobs end, the rack is closed and its lock released. */
  close(): Promise<void>
}

export async function openContext(appFolder: string, emit: (event: Event) => void): Promise<Context> {
  const appFiles = await openAppFiles(appFolder)
  const log = openLog(appFolder)
  const jobs = makeJobs(emit, log)
  const documents = await openDocuments(appFolder)
  const film = makeFilm()
  const current = makeCurrentRack(appFiles, jobs, log, emit, () => film.forget())
  return {
    appFiles,
    current,
    jobs,
    documents,
    film,
    log,
    emit,
    rack: () => {
      const rack = current.get()
      if (!rack) throw noRackOpen()
      return rack
    },
    close: async () => {
      await jobs.stopAll('cancelled', 'demonstration')
      await current.close()
    },
  }
}

/** The application's version. The package's description lies two folders up, from the source as from the build. */
export function appVersion(): string {
  const about = createRequire(import.meta.url)('../../package.json') as { version: string }
  return about.version
}
