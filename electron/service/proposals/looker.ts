import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { Caution } from '../../../shared-core/records/photo.ts'
import type { Rack } from '../../rack/opening/open.ts'
import {
  beginLook,
  forgetLook,
  keepLook,
  listUnseen,
  putBackLook,
  readToLook,
} from '../../rack/queries/proposals/looks.ts'
import { isDiskFull } from '../../rack/refusals.ts'
import type { Log } from '../log.ts'
import { decodings } from '../pictures.ts'
import { type LookAt, lookAtPhoto } from './look-at-photo.ts'
import { makeTwins, type Twins } from './twins.ts'

/**
 * Looks at the photos of the open rack's tray in the background, one after the other, until none is left. What somebody waits for
 * has a line of its own: the other one may stand still for as long as photos are taken in.
 */
export type Looker = {
  /** Looks at what lies in the tray of this rack from now on. */
  follow(rack: Rack): void
  /** Something changed: there may be more to look at. */
  wake(): void
  /** This one next. */
  next(photoId: string): void
  /** This one next and, with `anew`, whatever was found in it before. @returns once it was looked at, or cannot be */
  now(photoId: string, anew: boolean): Promise<void>
  /** Ends with the rack; the photo that is being looked at is looked at again when the rack is opened. */
  leave(): Promise<void>
}

/** A photo that ended whoever looked at it this often is left alone. */
const triesAllowed = 2
/** So many are asked for at once. */
const atOnce = 100

type Work = {
  rack: Rack
  ended: AbortController
  /** Whether somebody works on what is waited for, and on the rest. */
  isRunning: { urgent: boolean; other: boolean }
  twins: Twins
  urgent: string[]
  waiting: string[]
  /** Being looked at, whether it knows more afterwards. */
  underWay: Map<string, Promise<boolean>>
  waited: Map<string, (() => void)[]>
}

/** @param onMade  told after each photo, and after each that cannot be looked at */
export function makeLooker(lookAt: LookAt, log: Log, onMade: () => void): Looker {
  let work: Work | null = null
  let due = false

  const nextOf = async (mine: Work, isUrgent: boolean): Promise<string | undefined> => {
    if (isUrgent) return mine.urgent.pop()
    if (mine.waiting.length === 0 && due) {
      due = false
      mine.waiting = await listUnseen(mine.rack.db, atOnce)
      // there may be more than were asked for
      if (mine.waiting.length === atOnce) due = true
    }
    return mine.waiting.shift()
  }

  /** Notes something in a rack that is this service's still. @throws Refusal rack/… when it is not */
  const noteIn = async <T>({ rack }: Work, write: (db: Rack['db']) => Promise<T>): Promise<T> => {
    await rack.verify()
    return write(rack.db)
  }

  /** @returns whether there is more known of it than before; `again`: whoever looked was lost, and it is tried once more */
  const lookAtOne = async (mine: Work, id: string, isUrgent: boolean): Promise<boolean | 'again'> => {
    const photo = await readToLook(mine.rack.db, id)
    if (!photo || photo.isSeen || (photo.filed === 1 && !isUrgent)) return false
    if (photo.tries >= triesAllowed) return fails(mine, id, stoppedTwice)
    if (work !== mine || !(await noteIn(mine, (db) => beginLook(db, id)))) return false
    try {
      if (work !== mine) return false
      const { signal } = mine.ended
      const seen = await lookAtPhoto(mine.rack, photo, (path) => unlessEnded(lookAt(path, signal), signal))
      if (work !== mine) return false
      const twins = await mine.twins.find(photo, seen.fingerprint)
      if (work !== mine) return false
      await noteIn(mine, (db) => keepLook(db, id, { ...seen, ...twins }))
      mine.twins.add(id, seen.fingerprint)
      return true
    } catch (error) {
      if (work !== mine) return false
      // what ended is the drive, and not this photo
      if (isDiskFull(error) || (error instanceof Refusal && error.code.startsWith('rack/'))) {
        await putBack(mine, id)
        throw error
      }
      const isLastTry = photo.tries + 1 >= triesAllowed
      // it was legible as it was taken in: whoever looked may have been lost, and is tried once more
      if (error instanceof Refusal && (isLastTry || error.code !== 'photo/damaged'))
        return fails(mine, id, asCaution(error))
      if (!(error instanceof Refusal)) log.unexpected(error, 'looking at a photo')
      if (isLastTry) return fails(mine, id, stoppedTwice)
      return 'again'
    }
  }

  const fails = async (mine: Work, id: string, why: Caution): Promise<boolean> => {
    await noteIn(mine, (db) => keepLook(db, id, { why }))
    return true
  }

  const putBack = (mine: Work, id: string) =>
    noteIn(mine, (db) => putBackLook(db, id)).catch((error: unknown) => {
      if (!(error instanceof Refusal) && !isDiskFull(error)) log.unexpected(error, 'putting a photo back')
    })

  /** One photo is looked at once, however many want it: whoever comes second waits for the first. */
  const lookOnce = async (mine: Work, id: string, isUrgent: boolean): Promise<boolean> => {
    const begun = mine.underWay.get(id)
    if (begun)
      return begun.then(
        () => false,
        () => false,
      )
    const looking = (async () => {
      for (;;) {
        const came = await lookAtOne(mine, id, isUrgent)
        if (came !== 'again') return came
      }
    })()
    mine.underWay.set(id, looking)
    try {
      return await looking
    } finally {
      mine.underWay.delete(id)
    }
  }

  const run = async (mine: Work, isUrgent: boolean) => {
    for (;;) {
      const id = await nextOf(mine, isUrgent)
      if (id === undefined || work !== mine) return
      // what somebody waits for goes before pictures that are made ahead; nothing is noted of what only waits for its turn
      const isNews = await (isUrgent
        ? lookOnce(mine, id, true)
        : decodings.behind(async () => work === mine && lookOnce(mine, id, false)))
      if (work !== mine) return
      if (isNews) onMade()
      if (!mine.urgent.includes(id)) settle(mine, id)
    }
  }
  const settle = (mine: Work, id: string) => {
    for (const done of mine.waited.get(id) ?? []) done()
    mine.waited.delete(id)
  }
  const settleAll = (mine: Work) => {
    for (const id of mine.waited.keys()) settle(mine, id)
  }

  const start = () => {
    const mine = work
    if (!mine) return
    startLine(mine, 'urgent')
    startLine(mine, 'other')
  }
  const startLine = (mine: Work, line: 'urgent' | 'other') => {
    if (mine.isRunning[line]) return
    mine.isRunning[line] = true
    void run(mine, line === 'urgent')
      .catch((error: unknown) => {
        // closed meanwhile, or its drive is gone or full: whoever opens it again or changes something in it goes on
        if (work === mine && !(error instanceof Refusal)) log.unexpected(error, 'looking at the tray')
        if (work === mine) due = false
        mine.waiting = []
        mine.urgent = []
        settleAll(mine)
      })
      .finally(() => {
        mine.isRunning[line] = false
        const isMore = line === 'urgent' ? mine.urgent.length > 0 : due
        if (work === mine && isMore) startLine(mine, line)
      })
  }

  const looker: Looker = {
    follow: (rack) => {
      work = {
        rack,
        ended: new AbortController(),
        isRunning: { urgent: false, other: false },
        twins: makeTwins(rack.db),
        urgent: [],
        waiting: [],
        underWay: new Map(),
        waited: new Map(),
      }
      due = true
      start()
    },
    wake: () => {
      due = true
      start()
    },
    next: (photoId) => {
      if (!work) return
      work.urgent = [...work.urgent.filter((id) => id !== photoId), photoId]
      start()
    },
    now: async (photoId, anew) => {
      const mine = work
      if (!mine) return
      if (anew) await noteIn(mine, (db) => forgetLook(db, photoId))
      const seen = new Promise<void>((resolve) => {
        mine.waited.set(photoId, [...(mine.waited.get(photoId) ?? []), resolve])
      })
      looker.next(photoId)
      await seen
    },
    leave: async () => {
      const mine = work
      work = null
      if (!mine) return
      mine.ended.abort(new Left())
      settleAll(mine)
      for (const id of mine.underWay.keys()) await putBack(mine, id)
    },
  }
  return looker
}

/** The rack is closed at once, whatever is being looked at. */
function unlessEnded<T>(looking: Promise<T>, signal: AbortSignal): Promise<T> {
  looking.catch(() => undefined)
  const { promise, resolve, reject } = Promise.withResolvers<T>()
  const stop = () => reject(signal.reason)
  signal.addEventListener('abort', stop, { once: true })
  if (signal.aborted) stop()
  looking.then(resolve, reject).finally(() => signal.removeEventListener('abort', stop))
  return promise
}

/** The rack was closed while somebody looked. */
class Left extends Error {}

const asCaution = ({ code, message, remedy }: Refusal): Caution => ({ code, message, remedy })

const stoppedTwice: Caution = {
  code: 'photo/stopped-looking',
  message: 'Looking at this photo ended twice before its end, so nothing is proposed for it.',
  remedy: 'Mark its panel by hand. If its picture looks odd, take the photo again.',
}
