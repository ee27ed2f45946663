import { createRequire } from 'node:module'
import { basename } from 'node:path'
import type { Event } from '../../shared-core/contract/calls.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { lookAt } from '../photos/propose/look-at.ts'
import type { Options, Rack } from '../rack/opening/open.ts'
import { listNames } from '../rack/queries/names.ts'
import { type AppFiles, openAppFiles } from './app-files.ts'
import { type CurrentRack, makeCurrentRack, noRackOpen } from './current-rack.ts'
import { type Documents, openDocuments } from './documents.ts'
import { expectedFrom } from './expected.ts'
import { type Film, makeFilm } from './film/film.ts'
import { type Jobs, makeJobs } from './jobs.ts'
import { type Log, openLog } from './log.ts'
import { makePhoneDoor, type PhoneDoor, type PhoneOptions } from './phone/phone.ts'
import type { LookAt } from './proposals/look-at-photo.ts'
import { makeProposals, type Proposals } from './proposals/proposals.ts'
import { type BackupKeeper, makeBackupKeeper } from './safety/backups.ts'
import { makeRackLook, type RackLook } from './safety/check/cautions.ts'
import { keepChecking } from './safety/check/weekly.ts'
import { followUpRestore } from './safety/follow-up.ts'
import { openSecondPlaces } from './safety/second-places.ts'
import type { Pace } from './watched/folder-watch.ts'
import { makeWatchedFolders, type WatchedFolders } from './watched/watched.ts'

/** What handlers work with. */
export type Context = {
  readonly appFiles: AppFiles
  readonly current: CurrentRack
  readonly jobs: Jobs
  readonly documents: Documents
  readonly film: Film
  readonly backups: BackupKeeper
  readonly looks: RackLook
  readonly proposals: Proposals
  readonly phone: PhoneDoor
  readonly watched: WatchedFolders
  readonly log: Log
  readonly emit: (event: Event) => void
  /** The open rack. @throws Refusal `rack/none-open` */
  rack(): Rack
  /** Leaves nothing half done: jobs end, the rack is closed and its lock released. */
  close(): Promise<void>
}

/**
 * In tests: where folders lie, of what this computer does not have, how phones come in, and who looks at photos of the tray (null:
 * nobody).
 */
export type Given = Pick<Options, 'whereIs'> & { phone?: PhoneOptions; lookAt?: LookAt | null; watchPace?: Pace }

export async function openContext(
  appFolder: string,
  emit: (event: Event) => void,
  given: Given = {},
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
    phone.follow(event)
    const rack = current.get()
    const isOver = event.name === 'job.progressed' && event.data.kind === 'check' && event.data.state !== 'running'
    if (isOver && rack) lookAgain(rack)
    // words may have come with copies of photos that are there: nothing else changed
    if (event.name === 'job.progressed' && event.data.kind === 'intake' && event.data.state !== 'running')
      proposals.heard()
  }
  const jobs = makeJobs(follow, log, (error) => expectedFrom(error, current.get()))
  const foundIn = async (rack: Rack, photoId: string) => {
    const { state, found } = await proposals.get(rack, photoId)
    return state === 'waiting' ? null : { found }
  }
  const phone = makePhoneDoor({ jobs, log, appFiles, foundIn }, emit, given.phone)
  const documents = await openDocuments(appFolder)
  const film = makeFilm()
  const proposals = makeProposals({
    log,
    settings: () => appFiles.settings(),
    onMade: () => follow({ name: 'proposals.made', data: {} }),
    lookAt: given.lookAt === undefined ? lookAt : given.lookAt,
  })
  const watched = makeWatchedFolders({ jobs, log, appFiles }, given.watchPace)
  const backups = makeBackupKeeper({ jobs, log, places: await openSecondPlaces(appFolder) })
  const hear = (event: Event) => {
    const rack = current.get()
    if (event.name === 'rack.opened' && rack?.access.mode === 'full') {
      backups.follow(rack)
      proposals.follow(rack)
      watched.follow(rack)
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
    if (event.name === 'rack.changed') proposals.wake()
    emit(event)
  }
  const onClosing = async () => {
    await phone.turnOff()
    await watched.leave()
    // one that a phone or a folder began after the others were asked to end
    await jobs.stopAll('suspended', 'intake')
    await proposals.leave()
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
    proposals,
    phone,
    watched,
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
