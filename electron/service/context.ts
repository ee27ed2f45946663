import { createRequire } from 'node:module'
import { basename } from 'node:path'
import type { Event } from '../../shared-core/contract/calls.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { Options, Rack } from '../rack/opening/open.ts'
import { listNames } from '../rack/queries/names.ts'
import { type AppFiles, openAppFiles } from './app-files.ts'
import { type CurrentRack, makeCurrentRack, noRackOpen } from './current-rack.ts'
import { type Documents, openDocuments } from './documents.ts'
import { expectedFrom } from './expected.ts'
import { type Film, makeFilm } from './film/film.ts'
import { type Jobs, makeJobs } from './jobs.ts'
import { type Log, openLog } from './log.ts'
import { type BackupKeeper, makeBackupKeeper } from './safety/backups.ts'
import { makeRackLook, type RackLook } from './safety/check/cautions.ts'
import { keepChecking } from './safety/check/weekly.ts'
import { followUpRestore } from './safety/follow-up.ts'
import { openSecondPlaces } from './safety/second-places.ts'

/** What handlers work with. */
export type Context = {
  readonly appFiles: AppFiles
  readonly current: CurrentRack
  readonly jobs: Jobs
  readonly documents: Documents
  readonly film: Film
  readonly backups: BackupKeeper
  readonly looks: RackLook
  readonly log: Log
  readonly emit: (event: Event) => void
  /** The open rack. @throws Refusal `rack/none-open` */
  rack(): Rack
  /** Leaves nothing half done: jobs end, the rack is closed and its lock released. */
  close(): Promise<void>
}

/** @param given where folders lie, in tests of what this computer does not have */
export async function openContext(
  appFolder: string,
  emit: (event: Event) => void,
  given: Pick<Options, 'whereIs'> = {},
): Promise<Context> {
  const appFiles = await openAppFiles(appFolder)
  // what the rack calls its panels and customers must not stand in the log
  const log = openLog(appFolder, async () => {
    const rack = current.get()
    return rack ? [rack.folder, basename(rack.folder), ...(await listNames(rack.db))] : []
  })
  const looks = makeRackLook(async (rack) => {
    const { revision } = await rack.db.selectFrom('rack_info').select('revision').executeTakeFirstOrThrow()
    if (current.get() === rack) emit({ name: 'rack.changed', data: { revision } })
  })
  const lookAgain = (rack: Rack) =>
    void looks.look(rack).catch((error: unknown) => {
      // closed meanwhile, or its drive is gone
      if (current.get() === rack && !(error instanceof Refusal)) log.unexpected(error, 'looking at a rack')
    })
  const follow = (event: Event) => {
    emit(event)
    const rack = current.get()
    const isOver = event.name === 'job.progressed' && event.data.kind === 'check' && event.data.state !== 'running'
    if (isOver && rack) lookAgain(rack)
  }
  const jobs = makeJobs(follow, log, (error) => expectedFrom(error, current.get()))
  const documents = await openDocuments(appFolder)
  const film = makeFilm()
  const backups = makeBackupKeeper({ jobs, log, places: await openSecondPlaces(appFolder) })
  const hear = (event: Event) => {
    const rack = current.get()
    if (event.name === 'rack.opened' && rack?.access.mode === 'full') {
      backups.follow(rack)
      lookAgain(rack)
      const isOpen = () => current.get() === rack
      void keepChecking(rack, { jobs, backups, appFiles, log, isOpen }).catch((error: unknown) =>
        log.unexpected(error, 'going on with a look through'),
      )
      // the job that put a backup back looks after what follows itself, unless it was cut short
      if (jobs.list().every(({ kind, state }) => kind !== 'restore' || state !== 'running'))
        void followUpRestore({ current, appFiles, emit }, rack.folder, () => undefined).catch((error: unknown) =>
          log.unexpected(error, 'following up a restore'),
        )
    }
    emit(event)
  }
  const onClosing = async () => {
    await jobs.stopAll('suspended', 'check')
    await backups.leave()
    await film.forget()
  }
  const current: CurrentRack = makeCurrentRack(appFiles, jobs, log, hear, onClosing, given)
  return {
    appFiles,
    current,
    jobs,
    documents,
    film,
    backups,
    looks,
    log,
    emit,
    rack: () => {
      const rack = current.get()
      if (!rack) throw noRackOpen()
      return rack
    },
    close: async () => {
      await jobs.stopAll('cancelled', 'demonstration')
      await jobs.stopAll('cancelled', 'archive')
      await current.close()
      await log.settled()
    },
  }
}

/** The application's version. The package's description lies two folders up, from the source as from the build. */
export function appVersion(): string {
  const about = createRequire(import.meta.url)('../../package.json') as { version: string }
  return about.version
}
