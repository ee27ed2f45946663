import type Database from 'better-sqlite3'
import type { Kysely } from 'kysely'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { Caution } from '../../../shared-core/records/photo.ts'
import { type Access, fullAccess } from '../../../shared-core/records/rack.ts'
import { backUp } from '../backups/backup.ts'
import { performChange } from '../history/change.ts'
import { forgetHistory } from '../history/events.ts'
import { travel } from '../history/travel.ts'
import { keepOwnVersion } from '../moving/keep-both.ts'
import { rackClosed, readingOnly, takenOver } from '../refusals.ts'
import type { Tables } from '../tables.ts'
import type { Seal } from './health.ts'
import type { Lock } from './lock.ts'
import type { Options, Rack } from './open.ts'
import type { Place } from './place.ts'

type Opened = {
  folder: string
  renditions: string
  rackId: string
  db: Kysely<Tables>
  raw: Database.Database
  cautions: Caution[]
}
type Held = { options: Options; lock: Lock; place: Place; seal: Seal; checkedAt: number }

/** A rack that is this service's to change. */
export function rackOn(opened: Opened, held: Held): Rack {
  const { folder, renditions, rackId, db, cautions } = opened
  const { options, lock, place, seal } = held
  let closing: Promise<void> | undefined
  const look = async () => {
    if (!(await lock.verified())) throw takenOver()
    await place.check()
  }
  /** Changes come in the order in which they were asked for. */
  let turn: Promise<unknown> = Promise.resolve()
  const verify = (): Promise<void> => {
    if (closing) return Promise.reject(rackClosed())
    const mine = turn.then(look)
    turn = mine.catch(() => undefined)
    return mine
  }
  const underWay = new Set<Promise<unknown>>()
  const asked = <T>(work: () => Promise<T>): Promise<T> => {
    const mine = verify().then(work)
    const ended: Promise<unknown> = mine.then(
      () => underWay.delete(ended),
      () => underWay.delete(ended),
    )
    underWay.add(ended)
    return mine
  }
  const kept = async (revision: number | null) => {
    await place.note()
    if (revision === null) return
    seal.changed(revision)
    options.onChanged?.(revision)
  }
  const go = (direction: 'undo' | 'redo') =>
    asked(async () => {
      const done = await travel(db, direction, options.who?.() ?? '')
      await kept(done.revision)
      return done
    })
  let own: Promise<string> | undefined
  const keepOwn = () => {
    own ??= keepOwnVersion(db, folder)
    return own
  }
  const close = async () => {
    await Promise.all(underWay)
    const isReplaced = await place.check().then(
      () => false,
      (error: unknown) => error instanceof Refusal && error.code === 'rack/replaced',
    )
    // what is open here has no name any more, and would be gone with the connection
    if (isReplaced)
      await keepOwn().catch((error: unknown) => console.error('What was open could not be kept beside:', error))
    await closeAll(opened, held, isReplaced)
  }
  return {
    folder,
    renditions,
    rackId,
    access: fullAccess,
    cautions,
    db,
    verify,
    read: (work) => (closing ? Promise.reject(rackClosed()) : db.transaction().execute(work)),
    change: (what, work) =>
      asked(async () => {
        const { value, revision, changeId } = await performChange(db, what, options.who?.() ?? '', work)
        if (changeId !== null) what.kept?.(changeId)
        await kept(revision)
        return value
      }),
    undo: () => go('undo'),
    redo: () => go('redo'),
    forgetHistory: () =>
      asked(async () => {
        await forgetHistory(db)
        await place.note()
      }),
    backUp: (why) => backUp(db, folder, why),
    keepOwnVersion: keepOwn,
    close: () => {
      closing ??= close()
      return closing
    },
  }
}

/** A rack that is only looked at: `db` is a private copy that nothing can be written to. */
export function readingRackOn(
  { folder, renditions, rackId, db, raw, cautions }: Opened,
  access: Access,
  dropCopy: () => Promise<void>,
): Rack {
  let closing: Promise<void> | undefined
  const refuse = async (): Promise<never> => {
    throw readingOnly(access.why)
  }
  const close = async () => {
    // what is under way ends first, and what comes later is refused
    await db.connection().execute(async () => void raw.close())
    await dropCopy()
  }
  return {
    folder,
    renditions,
    rackId,
    access,
    cautions,
    db,
    verify: refuse,
    read: (work) => db.transaction().execute(work),
    change: refuse,
    undo: refuse,
    redo: refuse,
    forgetHistory: refuse,
    backUp: refuse,
    keepOwnVersion: refuse,
    close: () => {
      closing ??= close()
      return closing
    },
  }
}

/** The log goes into the database and the lock goes; where the drive is full or gone, as much of that as can be done. */
async function closeAll({ db, raw }: Opened, { lock, seal, checkedAt }: Held, isReplaced: boolean): Promise<void> {
  // holding the one connection: what is under way ends first, and what comes later is refused
  await db.connection().execute(async () => {
    if (lock.held()) seal.closing()
    try {
      raw.pragma('wal_checkpoint(TRUNCATE)')
    } catch (error) {
      // nothing is lost: the log stays beside the database and is read when the rack is opened again
      console.error('The rack’s log could not be brought into its database:', error)
    }
    raw.close()
  })
  if (lock.held() && !isReplaced) await seal.closed(checkedAt)
  else seal.leave()
  await lock.release().catch((error: unknown) => console.error('The rack’s lock could not be removed:', error))
}
