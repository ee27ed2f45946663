import { expect, test } from 'vitest'
import { makeFilm } from '../../electron/service/film/film.ts'
import { type FilmWorker, startFilmWorker } from '../../electron/service/film/worker/ask-worker.ts'
import type { FilmTaskName } from '../../electron/service/film/worker/tasks.ts'
import { benchService } from './bench-service.ts'
import { candies, candyId, formulaOf, grounds, hangShop } from './film-rack.ts'

/** The film model's thread: real ones, that are killed. */

/** A worker that is ended while it works on a task of this name. */
function dying(during: FilmTaskName): FilmWorker {
  const worker = startFilmWorker()
  return {
    ...worker,
    ask: (ask) => {
      const answer = worker.ask(ask)
      if (ask.what === during) void worker.end()
      return answer
    },
  }
}
const recipe = (dye: string, coats: number) => ({
  ground: grounds[0]!,
  under: null,
  over: null,
  dyes: [{ id: dye, load: coats }],
  coats,
  gun: null,
  finish: 'cleared' as const,
})

test.each<FilmTaskName>(['fit', 'predict'])(
  'one that dies during “%s” is started again, and the call is answered',
  async (during) => {
    const service = await benchService()
    await hangShop(service)
    const rack = service.context.rack()
    const started: FilmWorker[] = []
    const film = makeFilm(() => {
      const worker = started.length === 0 ? dying(during) : startFilmWorker()
      started.push(worker)
      return worker
    })
    const dye = await candyId(service, candies[0]!)
    const ask = () =>
      film.use(rack, ({ ask: of }) => of({ what: 'predict', recipes: [recipe(dye, 2), recipe('nobody', 2)] }))
    const first = await ask()
    expect(started).toHaveLength(2)
    expect(first).toEqual([expect.objectContaining({ bound90: expect.any(Number) }), null])
    // and stays, with its fit
    const fits = film.fitCount()
    expect(await ask()).toEqual(first)
    expect(started).toHaveLength(2)
    expect(film.fitCount()).toBe(fits)
    await film.forget()
  },
)

test('one that dies twice is a refusal that says what to do; the next call starts afresh', async () => {
  const service = await benchService()
  await hangShop(service)
  const rack = service.context.rack()
  let started = 0
  const film = makeFilm(() => (++started <= 2 ? dying('fit') : startFilmWorker()))
  const ask = () => film.use(rack, ({ ask: of }) => of({ what: 'predict', recipes: [] }))
  await expect(ask()).rejects.toMatchObject({ code: 'service/stopped', remedy: expect.stringContaining('once more') })
  expect(started).toBe(2)
  expect(await ask()).toEqual([])
  expect(started).toBe(3)
  await film.forget()
})

test('calls made at once are answered in their order, behind one fit', async () => {
  const service = await benchService()
  await hangShop(service)
  const formula = formulaOf([[await candyId(service, candies[0]!), 1]])
  const order: number[] = []
  await Promise.all(
    [1, 2, 3, 4].map(async (coats) => {
      const { cells } = await service.call('film.predictTable', { formula, grounds, coats: [coats] })
      expect(cells.map((cell) => cell.coats)).toEqual(grounds.map(() => coats))
      order.push(coats)
    }),
  )
  expect(order).toEqual([1, 2, 3, 4])
  expect(service.context.film.fitCount()).toBe(1)
})

test('it ends with its rack: a waiting call is refused, and another rack is not answered with it', async () => {
  const service = await benchService()
  await hangShop(service)
  const { folder } = service.context.rack()
  const waiting = service.refusal('film.describe', {})
  const next = service.refusal('film.describe', {})
  await service.call('rack.close', {})
  expect(await waiting).toMatchObject({ code: 'rack/none-open' })
  expect(await next).toMatchObject({ code: 'rack/none-open' })
  expect(service.context.film.fitCount()).toBe(0)
  expect((await service.refusal('film.describe', {})).code).toBe('rack/none-open')
  await service.call('rack.create', { folder: `${folder} 2`, name: 'Another' })
  expect((await service.call('film.describe', {})).knows.stepCount).toBe(0)
  await service.call('rack.open', { folder })
  expect((await service.call('film.describe', {})).knows.stepCount).toBe(12)
})
