/**
 * Who may decode a picture next. What somebody looks at comes before what is made ahead, and what was asked for last comes
 * first: it is on the screen, while what was asked for before has been scrolled past.
 */
export type PictureQueue = {
  /**
   * Makes the picture at `path` once, however many ask for it meanwhile.
   * @throws GivenUp for whoever still waits when the last of them has given up before its turn came
   */
  make(path: string, work: () => Promise<void>): Promise<void>
  /** One of those who asked for the picture at `path` no longer wants it. What has been begun is finished. */
  giveUp(path: string): void
  /** Work that nobody looks at yet: when nothing else waits, in the order it came. */
  ahead<T>(work: () => Promise<T>): Promise<T>
  /** Work that can wait for all of that, too. */
  behind<T>(work: () => Promise<T>): Promise<T>
}

export class GivenUp extends Error {}

type Making = { begun: boolean; wanted: number; work: () => Promise<void>; done: PromiseWithResolvers<void> }

export function makePictureQueue(atOnce: number): PictureQueue {
  const making = new Map<string, Making>()
  /** Asked for and not begun, newest last. */
  const waiting: Making[] = []
  const later: Array<() => void> = []
  const last: Array<() => void> = []
  let running = 0

  const next = () => {
    if (running >= atOnce) return
    const newest = waiting.pop()
    if (newest) return begin(newest)
    const start = later.shift() ?? last.shift()
    start?.()
  }
  const begin = (picture: Making) => {
    picture.begun = true
    running++
    void picture
      .work()
      .then(picture.done.resolve, picture.done.reject)
      .finally(() => {
        running--
        next()
      })
  }

  const inTurn = <T>(work: () => Promise<T>, line: Array<() => void>): Promise<T> =>
    new Promise<T>((resolve, reject) => {
      const start = () => {
        running++
        void work()
          .then(resolve, reject)
          .finally(() => {
            running--
            next()
          })
      }
      if (running < atOnce) start()
      else line.push(start)
    })

  return {
    make(path, work) {
      const underWay = making.get(path)
      if (underWay) {
        underWay.wanted++
        const at = waiting.indexOf(underWay)
        // asked for again: it is looked at now
        if (at >= 0) waiting.push(...waiting.splice(at, 1))
        return underWay.done.promise
      }
      const picture: Making = { begun: false, wanted: 1, work, done: Promise.withResolvers() }
      making.set(path, picture)
      const forget = () => {
        if (making.get(path) === picture) making.delete(path)
      }
      picture.done.promise.then(forget, forget)
      waiting.push(picture)
      next()
      return picture.done.promise
    },
    giveUp(path) {
      const picture = making.get(path)
      if (!picture || picture.begun || --picture.wanted > 0) return
      making.delete(path)
      waiting.splice(waiting.indexOf(picture), 1)
      picture.done.reject(new GivenUp())
    },
    ahead: (work) => inTurn(work, later),
    behind: (work) => inTurn(work, last),
  }
}
