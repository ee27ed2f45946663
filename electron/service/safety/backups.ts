import { v7 } from 'uuid'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { BackupState } from '../../../shared-core/records/backup.ts'
import type { Caution } from '../../../shared-core/records/photo.ts'
import { backUp } from '../../rack/backups/backup.ts'
import { listBackups } from '../../rack/backups/list.ts'
import { pruneBackups } from '../../rack/backups/prune.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { diskFull, isDiskFull, refusalFrom } from '../../rack/refusals.ts'
import type { JobHandle, Jobs } from '../jobs.ts'
import type { Log } from '../log.ts'
import { changedSince, isDue, isOverdue, lastOf, type Standing } from './due.ts'
import { makePlaceKeeper, type PlaceKeeper } from './place-keeper.ts'
import type { SecondPlaces } from './second-places.ts'
import { safeInWords } from './words.ts'

/** Sees to it that the open rack is backed up: each day, and when asked. */
export type BackupKeeper = {
  /** Told of each rack that is opened. */
  follow(rack: Rack): void
  /** Begins what is due by now: today's backup, or what lacks in the second place. */
  look(rack: Rack): Promise<void>
  /** The rack is about to be closed: ends what works on it. */
  leave(): Promise<void>
  /** Makes a backup as a job. @returns its id */
  make(rack: Rack): string
  describe(rack: Rack): Promise<BackupState>
  /** What the painter has to be told of the backups wherever they are. */
  cautions(rack: Rack): Promise<Caution[]>
  readonly place: PlaceKeeper
}

export type Timing = { firstMs: number; everyMs: number; now: () => Date }
/** After the rack stands on the screen; then often enough to notice midnight, a wake from sleep, and a drive that is back. */
const usual: Timing = { firstMs: 5_000, everyMs: 10 * 60_000, now: () => new Date() }

export function makeBackupKeeper(
  support: { jobs: Jobs; log: Log; places: SecondPlaces },
  timing: Timing = usual,
): BackupKeeper {
  const { jobs, log } = support
  let followed: Rack | null = null
  let timers: NodeJS.Timeout[] = []
  let trouble: Caution | null = null
  /** One after the other: a backup, then its copy. */
  let turn: Promise<unknown> = Promise.resolve()
  const inTurn = <T>(work: () => Promise<T>): Promise<T> => {
    const mine = turn.then(work, work)
    turn = mine.catch(() => undefined)
    return mine
  }
  const place = makePlaceKeeper(support, { inTurn, now: timing.now })

  const carryOut = async (rack: Rack, why: 'daily' | 'by-hand', job: JobHandle): Promise<string> => {
    try {
      await rack.verify()
      const path = await backUp(rack.db, rack.folder, why, {
        signal: job.signal,
        onProgress: (done, total) =>
          total > 1e6 ? job.progress('copying the records', done, total) : job.progress('copying the records', 0, 0),
      })
      await pruneBackups(rack.folder, timing.now())
      trouble = null
      return path
    } catch (error) {
      const said = sayOf(error, rack)
      if (!job.signal.aborted) trouble = asCaution(said, log)
      throw said
    }
  }

  const start = (rack: Rack, why: 'daily' | 'by-hand'): string => {
    const id = v7()
    const label = why === 'daily' ? 'Daily backup' : 'Backing up'
    jobs.start({ id, kind: 'backup', label, total: 0, rackFolder: rack.folder }, (job) =>
      inTurn(async () => {
        job.signal.throwIfAborted()
        await carryOut(rack, why, job).catch((error: unknown) => {
          // nobody asked for it: it is told where backups are, and tried again
          if (why === 'by-hand' || job.signal.aborted) throw error
        })
        if (trouble) return
        const copied = await place.bringUpToDate(rack, job, why === 'by-hand')
        if (why === 'by-hand') job.conclude(safeInWords(await describe(rack), copied), copied.kind !== 'failed')
      }),
    )
    return id
  }

  const describe = async (rack: Rack): Promise<BackupState> => {
    const standing = await standingOf(rack)
    const backups = await listBackups(rack.folder, 'quick')
    const last = lastOf(backups, standing.rackId)
    return {
      rackId: standing.rackId,
      last,
      changedSince: changedSince(last, standing),
      trouble,
      overdue: isOverdue(last, standing, timing.now()),
      second: await place.describe(rack, last),
    }
  }

  const look = async (rack: Rack) => {
    if (followed !== rack || jobs.list().some(({ kind, state }) => kind === 'backup' && state === 'running')) return
    const standing = await standingOf(rack)
    const backups = await listBackups(rack.folder, 'quick')
    if (followed !== rack) return
    if (isDue(backups, standing, timing.now())) start(rack, 'daily')
    else if (await place.wantsCopy(rack, lastOf(backups, standing.rackId))) place.start(rack)
  }

  const leave = async () => {
    followed = null
    timers.forEach((timer) => clearTimeout(timer))
    timers = []
    await jobs.stopAll('cancelled', 'backup')
    await turn
    trouble = null
    place.forget()
  }

  return {
    follow: (rack) => {
      timers.forEach((timer) => clearTimeout(timer))
      timers = []
      followed = null
      if (rack.access.mode !== 'full') return
      followed = rack
      const lookNow = () =>
        void look(rack).catch((error: unknown) => {
          // closed meanwhile, or its drive is gone: whoever works with it is told
          if (followed === rack && !(error instanceof Refusal)) log.unexpected(error, 'looking for backups')
        })
      timers = [setTimeout(lookNow, timing.firstMs), setInterval(lookNow, timing.everyMs)]
      timers.forEach((timer) => timer.unref())
    },
    look,
    leave,
    make: (rack) => start(rack, 'by-hand'),
    describe,
    cautions: async (rack) => {
      if (rack.access.mode !== 'full') return []
      const standing = await standingOf(rack)
      const last = lastOf(await listBackups(rack.folder, 'quick'), standing.rackId)
      return isOverdue(last, standing, timing.now()) ? [overdue(trouble)] : []
    },
    place,
  }
}

async function standingOf({ db }: Rack): Promise<Standing> {
  const info = await db.selectFrom('rack_info').select(['rack_id', 'revision', 'created_at']).executeTakeFirstOrThrow()
  return { rackId: info.rack_id, revision: info.revision, isEmpty: info.revision === 0, createdAt: info.created_at }
}

const sayOf = (error: unknown, rack: Rack): unknown =>
  isDiskFull(error) ? diskFull() : error instanceof Refusal ? error : refusalFrom(error, rack.folder)

export function asCaution(error: unknown, log: Log): Caution {
  if (error instanceof Refusal) return { code: error.code, message: error.message, remedy: error.remedy }
  return log.unexpected(error, 'backing up')
}

const overdue = (trouble: Caution | null): Caution => ({
  code: 'backup/overdue',
  message: `No backup has been made for three days${trouble ? `: ${trouble.message}` : '.'}`,
  remedy: trouble ? trouble.remedy : 'Open “Backups” and choose “Back up now”.',
})
