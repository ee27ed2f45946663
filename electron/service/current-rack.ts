import { rm } from 'node:fs/promises'
import { homedir } from 'node:os'
import { join, resolve } from 'node:path'
import { v7 } from 'uuid'
import type { Event } from '../../shared-core/contract/calls.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { RackInfo } from '../../shared-core/records/rack.ts'
import { createRack, mustBeFree, type Options, openRack, type Rack } from '../rack/opening/open.ts'
import { describeRack } from '../rack/queries/rack-info.ts'
import type { AppFiles } from './app-files.ts'
import { demonstrationName, makeDemonstration } from './demonstration/make.ts'
import { resumeIntakes } from './intake.ts'
import type { Jobs } from './jobs.ts'
import type { Log } from './log.ts'
import { readAhead } from './match/boards.ts'

/** The one rack that this service has open, if any. */
export type CurrentRack = {
  get(): Rack | null
  create(folder: string, name: string): Promise<RackInfo>
  open(folder: string): Promise<RackInfo>
  /** Makes a demonstration rack as a job and opens it at the end. @returns the job's id */
  demonstrate(folder: string): Promise<string>
  close(): Promise<void>
}

/** @param onClosing  ends what works on the rack beside its jobs */
export function makeCurrentRack(
  appFiles: AppFiles,
  jobs: Jobs,
  log: Log,
  emit: (event: Event) => void,
  onClosing: () => Promise<void>,
): CurrentRack {
  let current: Rack | null = null
  /** Opening and closing never overlap. */
  let turn: Promise<unknown> = Promise.resolve()
  const inTurn = <T>(work: () => Promise<T>): Promise<T> => {
    const mine = turn.then(work, work)
    turn = mine.catch(() => undefined)
    return mine
  }
  const options: Options = {
    who: () => appFiles.settings().painter,
    onChanged: (revision) => emit({ name: 'rack.changed', data: { revision } }),
  }

  const closeNow = async () => {
    const rack = current
    if (!rack) return
    current = null
    await jobs.stopAll('suspended', 'intake')
    await jobs.stopAll('cancelled', 'index')
    await onClosing()
    // whose drive is gone does not close as it should, and must not keep the next one from being opened
    await rack.close().catch((error: unknown) => log.unexpected(error, `closing ${rack.folder}`))
    emit({ name: 'rack.closed', data: {} })
  }

  const adopt = async (rack: Rack): Promise<RackInfo> => {
    let info: RackInfo
    try {
      info = await describeRack(rack.db, rack.folder)
    } catch (error) {
      await rack.close()
      throw error
    }
    await closeNow()
    current = rack
    // the rack is open all the same when only the list of recent ones cannot be written
    await appFiles.addRecent(rack.folder, info.name).catch((error: unknown) => log.unexpected(error, 'noting a rack'))
    emit({ name: 'rack.opened', data: {} })
    readAhead(rack)
    await resumeIntakes(rack, { jobs, log, appFiles })
    return info
  }

  return {
    get: () => current,
    create: (folder, name) => inTurn(async () => adopt(await createRack(wholePath(folder), name, options))),
    open: (folder) =>
      inTurn(async () => {
        const path = wholePath(folder)
        if (current?.folder === path) return describeRack(current.db, path)
        return adopt(await openRack(path, options))
      }),
    demonstrate: async (folder) => {
      const path = wholePath(folder)
      await mustBeFree(path)
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
    close: () => inTurn(closeNow),
  }
}

/** What a rack's own folder holds; the folder itself may have been the user's, and stays, empty as it was. */
async function removeUnfinished(folder: string): Promise<void> {
  const folders = ['photos', 'data-sheets', 'renditions', 'backups']
  for (const name of ['rack.sqlite', 'rack.sqlite-wal', 'rack.sqlite-shm', ...folders])
    await rm(join(folder, name), { recursive: true, force: true })
}

/** What a painter types: `~` is the home folder, and a closing slash means nothing. A path must be whole. */
function wholePath(folder: string): string {
  const path = folder === '~' || /^~[/\\]/.test(folder) ? join(homedir(), folder.slice(1)) : folder
  // a path that is not whole is left as it is: opening refuses it
  return resolve(path) === path || !/^([/\\]|[A-Za-z]:)/.test(path) ? path : resolve(path)
}

/** A folder for a new rack of this name that is not there yet: in `OVERGROUND_RACKS`, else among the user's documents. */
export async function suggestFolder(name: string, exists: (path: string) => Promise<boolean>) {
  const base = process.env.OVERGROUND_RACKS || (await documentsFolder(exists))
  // characters that some system does not allow in a name
  const clean = name
    .replaceAll(/[<>:"/\\|?*\p{Cc}]/gu, ' ')
    .replaceAll(/\s+/g, ' ')
    .replaceAll(/^[. ]+|[. ]+$/g, '')
  const stem = join(base, clean === '' ? 'Rack' : clean.slice(0, 80))
  if (!(await exists(stem))) return stem
  for (let count = 2; ; count++) if (!(await exists(`${stem} ${count}`))) return `${stem} ${count}`
}

async function documentsFolder(exists: (path: string) => Promise<boolean>): Promise<string> {
  const documents = join(homedir(), 'Documents')
  return join((await exists(documents)) ? documents : homedir(), 'Overground')
}

export const noRackOpen = () => new Refusal('rack/none-open', 'No rack is open.', 'Open a rack, or make a new one.')
