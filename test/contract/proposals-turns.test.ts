import { sql } from 'kysely'
import { expect, test, vi } from 'vitest'
import type { Rack } from '../../electron/rack/opening/open.ts'
import { addPhoto } from '../../electron/rack/queries/photos.ts'
import { readToLook } from '../../electron/rack/queries/proposals/looks.ts'
import { takenOver } from '../../electron/rack/refusals.ts'
import { dispatch } from '../../electron/service/dispatch.ts'
import { handlers } from '../../electron/service/handlers/all.ts'
import type { Log } from '../../electron/service/log.ts'
import { decodings } from '../../electron/service/pictures.ts'
import { makeLooker } from '../../electron/service/proposals/looker.ts'
import { freshRack, newPhoto } from '../rack/fresh.ts'
import { proposing, whole } from './proposing.ts'

/** Who is looked at when, what is noted of it, and into which change a batch goes. */

const teal = [40, 120, 130]
const wine = [120, 40, 60]
const gold = [170, 140, 60]

test('a photo that somebody waits for does not wait for an intake; what only waits for its turn is not noted as begun', async () => {
  const first = Promise.withResolvers<void>()
  const { call, shoot, looked, lookedAt, context } = await proposing(async (name) => {
    if (name === 'first.jpg') await first.promise
  })
  await shoot(teal, [], { name: 'first.jpg' })
  const second = await shoot(wine, [], { name: 'second.jpg' })
  const wanted = await shoot(gold, [], { name: 'wanted.jpg' })
  await vi.waitFor(() => expect(lookedAt).toEqual(['first.jpg']))
  // an intake that keeps whoever decodes busy
  const intake = Promise.withResolvers<void>()
  const busy = [1, 2, 3, 4].map(() => decodings.ahead(() => intake.promise))
  first.resolve()
  await vi.waitFor(async () => expect((await call('proposals.overview', {})).waiting).toBe(2))
  expect((await call('proposals.again', { photoId: wanted, panelId: null })).proposal.state).toBe('made')
  expect(lookedAt).toEqual(['first.jpg', 'wanted.jpg'])
  expect(await readToLook(context.rack().db, second)).toMatchObject({ tries: 0, state: null })
  intake.resolve()
  await Promise.all(busy)
  await looked()
  expect(lookedAt).toEqual(['first.jpg', 'wanted.jpg', 'second.jpg'])
})

test('a full drive is told once, and looking goes on with the next change', async () => {
  const rack = await freshRack()
  await rack.change({ label: 'take in' }, async (change) => {
    for (let i = 0; i < 120; i++) await addPhoto(change, newPhoto(`photo ${i}`))
  })
  // SQLite says so of each row that is written
  await sql`create temp trigger full before insert on photo_proposal begin select raise(abort, 'full'); end`.execute(
    rack.db,
  )
  const told: unknown[] = []
  const log = { unexpected: (error: unknown) => told.push(error) } as unknown as Log
  const looker = makeLooker(
    async () => whole,
    log,
    () => undefined,
  )
  const rest = async () => {
    for (let i = 0; i < 50; i++) await rack.read(async () => undefined)
  }
  looker.follow(rack)
  await vi.waitFor(() => expect(told.length).toBeGreaterThan(0))
  await rest()
  expect(told).toHaveLength(1)
  looker.wake()
  await vi.waitFor(() => expect(told.length).toBeGreaterThan(1))
  await rest()
  expect(told).toHaveLength(2)
  await looker.leave()
})

test('a rack that somebody else has taken over is not written to', async () => {
  const { shoot, looked, context, call } = await proposing()
  const photoId = await shoot(teal, [])
  await looked()
  const rack: Rack = { ...context.rack(), verify: () => Promise.reject(takenOver()) }
  const there = { ...context, rack: () => rack }
  const before = await readToLook(rack.db, photoId)
  for (const [name, input] of [
    ['proposals.again', { photoId, panelId: null }],
    ['proposals.say', { photoId, declined: true }],
  ] as const)
    expect(await dispatch(name, input, there, handlers)).toMatchObject({
      ok: false,
      error: { code: 'rack/taken-over' },
    })
  expect(await readToLook(rack.db, photoId)).toEqual(before)
  expect((await call('proposals.get', { photoId })).proposal.state).toBe('made')
})

test('a batch between whose photos something else is changed goes on in the change that Undo takes back first', async () => {
  const { call, shoot, panel, looked, ended, context } = await proposing()
  const ids: string[] = []
  for (const colour of [teal, wine, gold]) ids.push(await shoot(colour, [(await panel()).code]))
  await looked()
  const rack = context.rack()
  let count = 0
  const between: Rack = {
    ...rack,
    change: async (what, work) => {
      const done = await rack.change(what, work)
      if (++count === 1)
        await rack.change({ label: 'say its view' }, (change) => change.update('photo', ids[1]!, { view: 'flop' }))
      return done
    },
  }
  const reply = await dispatch('proposals.fileReady', { photoIds: ids }, { ...context, rack: () => between }, handlers)
  const job = await ended(reply.ok ? (reply.value as { jobId: string }).jobId : '')
  expect(job.items.map(({ fate }) => fate)).toEqual(['filed', 'filed', 'filed'])
  const { entries } = await call('history.list', { panelId: null, limit: 3 })
  expect(entries.map(({ label }) => label)).toEqual([
    'file 3 photos as proposed',
    'say its view',
    'file 3 photos as proposed',
  ])
  expect(job.changeId).toBe(entries[0]?.id)
  await call('history.undo', {})
  expect((await call('photos.listWaiting', {})).ids).toEqual(ids.slice(1))
})
