import { rm } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { v7 } from 'uuid'
import type { Event } from '../../shared-core/contract/calls.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { RackInfo } from '../../shared-core/records/rack.ts'
import { noteEvent } from '../rack/history/events.ts'
import { findMoved } from '../rack/moving/find-moved.ts'
import { canRead, isSameFolder, type RackNamed } from '../rack/moving/rack-named.ts'
import { breakLock } from '../rack/opening/lock.ts'
import {
  createRack,
  mustBeFree,
  mustBeHere,
  type Options,
  openRack,
  type Rack,
  refusing,
} from '../rack/opening/open.ts'
import { sweepCopies } from '../rack/opening/reading.ts'
import { describeRack, type RackFacts } from '../rack/queries/rack-info.ts'
import type { AppFiles } from './app-files.ts'
import { demonstrationName, makeDemonstration } from './demonstration/make.ts'
import { resumeIntakes } from './intake.ts'
import type { Jobs } from './jobs.ts'
import type { Log } from './log.ts'
import { readAhead } from './match/boards.ts'
import { copyHere } from './place/copy-here.ts'
import { wholePath } from './place/folders.ts'
import { type How, openAsItCan } from './place/open-as-it-can.ts'
import { type RackWatch, watchRack } from './place/watch-rack.ts'

/** The one rack that this service has open, if any. */
export type CurrentRack = {
  get(): Rack | null
  /** The open rack in words for the page; null when none is open. */
  describe(): Promise<RackInfo | null>
  create(folder: string, name: string): Promise<RackInfo>
  open(folder: string, how?: How, asItIs?: boolean): Promise<RackInfo>
  /** Makes a demonstration rack as a job and opens it at the end. @returns the job's id */
  demonstrate(folder: string): Promise<string>
  /** Takes a rack from another computer that is gone for good, and opens it. */
  takeOver(folder: string, nonce: string): Promise<RackInfo>
  /** Opens a rack that is only looked at anew. */
  readAgain(): Promise<RackInfo>
  /** Copies the open rack into a new folder as a job and opens it there. @returns the job's id */
  copyHere(folder: string): Promise<string>
  /** Keeps the open records as a backup and opens those that have taken their place. */
  keepBoth(): Promise<{ backup: string; rack: RackInfo }>
  findMoved(folder: string): Promise<RackNamed[]>
  setKeptInSync(keptInSync: boolean): Promise<void>
  /** Looks at once whether the rack still lies where it was. */
  lookAround(): Promise<void>
  close(): Promise<void>
}

/**
 * @param onClosing  ends what works on the rack beside its jobs
 * @param given      where folders lie, in tests of what this computer does not have
 */
export function makeCurrentRack(
  appFiles: AppFiles,
  jobs: Jobs,
  log: Log,
  emit: (event: Event) => void,
  onClosing: () => Promise<void>,
  given: Pick<Options, 'whereIs'> = {},
): CurrentRack {
  let current: Rack | null = null
  let watch: RackWatch | null = null
  /** Opening and closing never overlap. */
  let turn: Promise<unknown> = sweepCopies(appFiles.folder).catch((error: unknown) =>
    log.unexpected(error, 'clearing away copies'),
  )
  const inTurn = <T>(work: () => Promise<T>): Promise<T> => {
    const mine = turn.then(work, work)
    turn = mine.catch(() => undefined)
    return mine
  }
  const options: Options = {
    ...given,
    who: () => appFiles.settings().painter,
    onChanged: (revision) => emit({ name: 'rack.changed', data: { revision } }),
  }

  /** Ends what works on a rack, and closes it. */
  const leave = async (rack: Rack) => {
    await jobs.stopAll('suspended', 'intake')
    await jobs.stopAll('cancelled', 'filing')
    await jobs.stopAll('cancelled', 'index')
    await jobs.stopAll('cancelled', 'import')
    await onClosing()
    // whose drive is gone does not close as it should, and must not keep the next one from being opened
    await rack.close().catch((error: unknown) => log.unexpected(error, `closing ${rack.folder}`))
  }
  const closeNow = async () => {
    const rack = current
    if (!rack) return
    current = null
    watch?.stop()
    watch = null
    await leave(rack)
    emit({ name: 'rack.closed', data: {} })
  }

  /** What was last known of the open rack, for while its drive is gone. */
  let lastFacts: RackFacts | null = null
  const factsOf = async (rack: Rack): Promise<RackFacts> => {
    try {
      const facts = await rack.read((db) => describeRack(db, rack.folder))
      if (rack === current) lastFacts = facts
      return facts
    } catch (error) {
      if (rack === current && lastFacts && watch?.presses()) return lastFacts
      throw error
    }
  }
  const infoOf = async (rack: Rack): Promise<RackInfo> => ({
    ...(await factsOf(rack)),
    access: rack.access,
    cautions: rack === current ? [...rack.cautions, ...(watch?.cautions() ?? [])] : [...rack.cautions],
    keptInSync: noted(rack.folder)?.keptInSync ?? false,
  })
  const noted = (folder: string) => appFiles.recent().find((recent) => recent.folder === folder)

  /** Folders on this computer's list that hold the same rack, and that are more than looked at. */
  const twinsOf = async (rack: Rack): Promise<string[]> => {
    const twins: string[] = []
    for (const { folder, rackId, reading } of appFiles.recent()) {
      if (rack.rackId === '' || rackId !== rack.rackId || reading || folder === rack.folder) continue
      if ((await isSameFolder(folder, rack.folder)) || !(await canRead(join(folder, 'rack.sqlite')))) continue
      twins.push(folder)
    }
    return twins
  }

  const watchOver = (rack: Rack): RackWatch =>
    watchRack(
      rack,
      async () => ({ keptInSync: noted(rack.folder)?.keptInSync ?? false, twins: await twinsOf(rack) }),
      () => void tellCautions(rack).catch((error: unknown) => log.unexpected(error, 'telling where the rack lies')),
      () => void inTurn(() => openAgain(rack)).catch((error: unknown) => log.unexpected(error, 'opening a rack again')),
      (error) => log.unexpected(error, 'looking where the rack lies'),
    )
  const tellCautions = async (rack: Rack) => {
    if (rack !== current) return
    const { revision } = await factsOf(rack)
    emit({ name: 'rack.changed', data: { revision } })
  }
  /** Its drive is back: what was open has lost its files. */
  const openAgain = async (rack: Rack) => {
    if (rack !== current) return
    await closeNow()
    await adopt(await openRack(rack.folder, options))
  }

  const adopt = async (rack: Rack): Promise<RackInfo> => {
    let info: RackInfo
    try {
      info = await infoOf(rack)
    } catch (error) {
      await rack.close()
      throw error
    }
    // the same one looked at again does not leave the page without a rack meanwhile
    const before = current
    if (before?.folder !== rack.folder) await closeNow()
    watch?.stop()
    current = rack
    lastFacts = info
    if (before && before.folder === rack.folder) await leave(before)
    const isReading = rack.access.mode === 'reading'
    // the rack is open all the same when only the list of recent ones cannot be written
    await appFiles
      .addRecent(rack.folder, info.name, rack.rackId, isReading)
      .catch((error: unknown) => log.unexpected(error, 'noting a rack'))
    emit({ name: 'rack.opened', data: {} })
    watch = watchOver(rack)
    void watch.look()
    readAhead(rack)
    if (!isReading) await resumeIntakes(rack, { jobs, log, appFiles })
    return info
  }

  const openNow = async (folder: string, how: How, asItIs = false): Promise<RackInfo> => {
    const path = await wholePath(folder)
    const isOpen = current && (await isSameFolder(current.folder, path))
    // who asks for full rights on what is only looked at wants it tried again
    if (current && isOpen && (current.access.mode === 'full' || how === 'reading')) return infoOf(current)
    const wanted = how === 'usual' && noted(path)?.local ? 'local' : how
    const rack = await openAsItCan(path, wanted, appFiles.folder, { ...options, asItIs }).catch((error: unknown) => {
      // what a drive or SQLite said stands in the log, not on the page
      if (error instanceof Refusal && error.cause !== undefined) log.unexpected(error, 'opening a rack', folder)
      throw error
    })
    const info = await adopt(rack)
    if (how === 'local') await appFiles.note(path, { local: true })
    return info
  }
  const openOne = (): Rack => {
    if (!current) throw noRackOpen()
    return current
  }

  return {
    get: () => current,
    describe: async () => {
      // one that is just being opened again is not told as closed
      await turn
      // while something presses, whoever asks wants to know whether it is over
      if (watch?.presses()) await watch.look()
      return current && infoOf(current)
    },
    create: (folder, name) => inTurn(async () => adopt(await createRack(await wholePath(folder), name, options))),
    open: (folder, how = 'usual', asItIs = false) => inTurn(() => openNow(folder, how, asItIs)),
    demonstrate: async (folder) => {
      const path = await wholePath(folder)
      await mustBeFree(path)
      await mustBeHere(path, given)
      const id = v7()
      jobs.start({ id, kind: 'demonstration', label: 'Making the demonstration rack', total: 0 }, async (job) => {
        const rack = await createRack(path, demonstrationName, { ...options, onChanged: () => undefined })
        try {
          const onProgress = (stage: string, done: number, total: number) => job.progress(stage, done, total)
          await makeDemonstration(rack, { onProgress, signal: job.signal })
          job.signal.throwIfAborted()
          await rack.close()
        } catch (error) {
          await rack.close()
          await removeUnfinished(path)
          throw error
        }
        await inTurn(async () => adopt(await openRack(path, options)))
      })
      return id
    },
    takeOver: async (folder, nonce) => {
      const path = await wholePath(folder)
      await refusing(path, () => breakLock(path, nonce))
      return inTurn(() => openNow(path, 'usual'))
    },
    readAgain: () =>
      inTurn(async () => {
        const { folder, access } = openOne()
        if (access.mode === 'full') return infoOf(openOne())
        return adopt(await openAsItCan(folder, access.why === 'in-use' ? 'reading' : 'usual', appFiles.folder, options))
      }),
    copyHere: async (folder) => {
      const from = openOne()
      const path = await wholePath(folder)
      await mustBeFree(path)
      await mustBeHere(path, given)
      const id = v7()
      jobs.start(
        { id, kind: 'copy', label: 'Copying the rack to this computer', total: 0, rackFolder: path },
        async (job) => {
          await copyHere(job, from, path, options)
          await inTurn(async () => {
            const rack = await openRack(path, options)
            await noteEvent(rack.db, {
              kind: 'copied',
              label: `copied from ${from.folder}`,
              who: options.who?.() ?? '',
            })
            await adopt(rack)
          })
        },
      )
      return id
    },
    keepBoth: () =>
      inTurn(async () => {
        const rack = openOne()
        const backup = await rack.keepOwnVersion()
        await closeNow()
        return { backup, rack: await openNow(rack.folder, 'usual') }
      }),
    findMoved: async (folder) => {
      const wanted = noted(folder)
      if (!wanted?.rackId) return []
      const found = await findMoved(
        folder,
        wanted.rackId,
        appFiles.recent().map((recent) => dirname(recent.folder)),
        current?.folder ?? null,
      )
      // one that was opened where it lies before this one was opened here last is a copy of it
      const isCopy = (other: string) => (noted(other)?.openedAt ?? wanted.openedAt) < wanted.openedAt
      return found.filter((rack) => !isCopy(rack.folder))
    },
    setKeptInSync: async (keptInSync) => {
      await appFiles.note(openOne().folder, { keptInSync })
      await watch?.look()
      if (current) await tellCautions(current)
    },
    lookAround: async () => watch?.look(),
    close: () => inTurn(closeNow),
  }
}

/** What a rack's own folder holds; the folder itself may have been the user's, and stays, empty as it was. */
async function removeUnfinished(folder: string): Promise<void> {
  const folders = ['photos', 'data-sheets', 'renditions', 'backups']
  for (const name of ['rack.sqlite', 'rack.sqlite-wal', 'rack.sqlite-shm', ...folders])
    await rm(join(folder, name), { recursive: true, force: true })
}

export const noRackOpen = () => new Refusal('rack/none-open', 'No rack is open.', 'Open a rack, or make a new one.')
