import { describe, expect, test } from 'vitest'
import { GivenUp, makePictureQueue } from '../../electron/service/picture-queue.ts'

/** A queue whose pictures are made when the test says so; `begun` says in which order. */
function hand(atOnce: number) {
  const queue = makePictureQueue(atOnce)
  const begun: string[] = []
  const finish = new Map<string, (error?: Error) => void>()
  const work = (name: string) => () =>
    new Promise<void>((resolve, reject) => {
      begun.push(name)
      finish.set(name, (error) => (error ? reject(error) : resolve()))
    })
  return {
    begun,
    giveUp: (name: string) => queue.giveUp(name),
    make: (name: string) => queue.make(name, work(name)),
    ahead: (name: string) => queue.ahead(work(name)),
    behind: (name: string) => queue.behind(work(name)),
    /** Ends a picture and lets the next begin. */
    done: async (name: string, error?: Error) => {
      finish.get(name)?.(error)
      await new Promise((resolve) => setImmediate(resolve))
    },
  }
}

describe('pictures take turns', () => {
  test('never more at once than allowed; the newest is next', async () => {
    const { begun, make, done } = hand(2)
    for (const name of ['a', 'b', 'c', 'd', 'e']) void make(name)
    expect(begun).toEqual(['a', 'b'])
    await done('a')
    expect(begun).toEqual(['a', 'b', 'e'])
    await done('b')
    await done('e')
    expect(begun).toEqual(['a', 'b', 'e', 'd', 'c'])
  })

  test('asked for again, a picture that waits becomes the newest, and is made once', async () => {
    const { begun, make, done } = hand(1)
    void make('first')
    const old = make('old')
    void make('new')
    const again = make('old')
    await done('first')
    expect(begun).toEqual(['first', 'old'])
    await done('old')
    await Promise.all([old, again])
    await done('new')
    expect(begun).toEqual(['first', 'old', 'new'])
  })

  test('what nobody waits for any more is not made; as long as one still does, it is', async () => {
    const { begun, make, giveUp, done } = hand(1)
    void make('first')
    const gone = make('gone')
    const [one, other] = [make('wanted'), make('wanted')]
    giveUp('gone')
    giveUp('wanted')
    await expect(gone).rejects.toBeInstanceOf(GivenUp)
    await done('first')
    expect(begun).toEqual(['first', 'wanted'])
    await done('wanted')
    await Promise.all([one, other])
    // given up and asked for again, it is made
    const back = make('gone')
    await done('gone')
    await back
    expect(begun).toEqual(['first', 'wanted', 'gone'])
  })

  test('giving up what has begun, or was never asked for, changes nothing', async () => {
    const { make, giveUp, done } = hand(1)
    const first = make('first')
    giveUp('first')
    giveUp('unknown')
    await done('first')
    await expect(first).resolves.toBeUndefined()
  })

  test('work made ahead waits for what is looked at, and keeps its order', async () => {
    const { begun, make, ahead, done } = hand(1)
    void make('a')
    void ahead('photo 1')
    void ahead('photo 2')
    void make('b')
    await done('a')
    await done('b')
    await done('photo 1')
    await done('photo 2')
    expect(begun).toEqual(['a', 'b', 'photo 1', 'photo 2'])
  })

  test('work that can wait goes last, whenever it came, and begins at once where nothing waits', async () => {
    const { begun, make, ahead, behind, done } = hand(1)
    void behind('look 1')
    void behind('look 2')
    void ahead('photo 1')
    void make('a')
    await done('look 1')
    await done('a')
    await done('photo 1')
    await done('look 2')
    expect(begun).toEqual(['look 1', 'a', 'photo 1', 'look 2'])
  })

  test('a picture that fails says so to all who asked, stands in nobody’s way, and is tried again', async () => {
    const { begun, make, done } = hand(1)
    const [one, two] = [make('bad'), make('bad')]
    const next = make('next')
    const all = Promise.allSettled([one, two])
    await done('bad', new Error('broken'))
    expect((await all).map(({ status }) => status)).toEqual(['rejected', 'rejected'])
    await done('next')
    await next
    void make('bad')
    expect(begun).toEqual(['bad', 'next', 'bad'])
  })
})
