/** Against the plain ranking of every reading: `rankMatches` is the specification, checked in test/unit/rank.test.ts. */
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { createRack, type Rack } from '../../electron/rack/opening/open.ts'
import { savePanel } from '../../electron/rack/queries/panels.ts'
import { addReading, getReading, listCandidates, removeReading } from '../../electron/rack/queries/readings.ts'
import { listLights } from '../../electron/rack/queries/shelf.ts'
import { type Random, randomFrom } from '../../electron/service/demonstration/random.ts'
import { allowedBy, boards, countAllowed } from '../../electron/service/match/boards.ts'
import { nearestSteps } from '../../electron/service/match/nearest-steps.ts'
import { rankMatches } from '../../shared-core/match/rank.ts'
import { noFilter, type PanelFilter, type ReadingFilter } from '../../shared-core/records/panel.ts'
import type { Reading } from '../../shared-core/records/reading.ts'
import { draft, workFolder } from './fresh.ts'
import { layer } from './layers-typed.ts'

const folder = workFolder()
const random = randomFrom('match board')
const photos = ['one', 'two', 'three', 'four']
let rack: Rack
let lights: string[]

const standards = [
  ['D50', '2'],
  ['D50', '2'],
  ['D50', '2'],
  ['D65', '10'],
  ['A', '2'],
] as const

/** A few colours that many share, each read somewhat off; view, stage, light, standard and photo at random. */
function anyReading(of: Pick<Reading, 'stepId' | 'referenceId'>, at: Random): Reading {
  const family = at.whole(0, 5)
  const [illuminant, observer] = at.pick(standards)
  // some lie at the very same place, so that ages decide
  const off = () => (at.chance(0.3) ? 0 : 3 * at.normal())
  const photoId = at.chance(0.6) ? at.pick(photos) : null
  return {
    id: `reading-${at.whole(0, 1e9)}-${at.whole(0, 1e9)}`,
    ...of,
    photoId,
    areaId: null,
    cut: null,
    setupId: null,
    lab: { l: 30 + 9 * family + off(), a: 40 - 12 * family + off(), b: 10 * family - 20 + off() },
    illuminant,
    observer,
    geometry: at.chance(0.1) ? 'd:8-included' : 'photo',
    level: 'card',
    bound90: at.between(0.4, 3),
    parts: photoId ? [{ cause: 'light', de00: 0.5, words: 'light', shared: 'photo' }] : [],
    cautions: [],
    lightId: at.chance(0.4) ? null : at.pick(lights),
    view: at.pick(['face', 'face', 'face', 'flop'] as const),
    stage: at.pick(['dry', 'cleared', 'cured'] as const),
    ageDays: null,
    takenAt: new Date(Date.UTC(2031, 0, 1, 0, 0, at.whole(0, 100_000))).toISOString(),
    texture: null,
    spectrum: null,
    instrument: null,
  }
}

beforeAll(async () => {
  rack = await createRack(join(folder, 'rack'), 'Match board')
  lights = (await listLights(rack.db)).slice(0, 3).map(({ id }) => id)
  await rack.change({ label: 'fill' }, async (change) => {
    for (const [i, id] of photos.entries())
      await change.insert('photo', {
        id,
        sha256: String(i).repeat(64),
        name: id,
        format: 'jpeg',
        width: 10,
        height: 10,
        byte_count: 1,
        bits: 8,
        profile: 'sRGB',
        profile_assumed: 0,
        taken_at: null,
        camera: null,
        exposure_s: null,
        f_number: null,
        iso: null,
        white_balance: null,
        focal_length_mm: null,
        light_id: null,
        view: 'face',
        stage: 'dry',
        setup_id: null,
        flat_photo_id: null,
        mm_per_pixel: null,
        sheet: null,
        filed: 1,
        laid_out_at: null,
        cautions: '[]',
        added_at: '2031-01-01T00:00:00.000Z',
        deleted_at: null,
      })
    for (let i = 0; i < 150; i++) {
      const id = await savePanel(
        change,
        draft({
          title: `Panel ${i}`,
          tags: [`tag ${i % 3}`],
          layers: [layer('ground', `ground ${i % 4}`)],
          steps: [2, 4].map((coats) => ({ id: null, coats, notes: '' })),
        }),
      )
      const steps = await change.db.selectFrom('step').select('id').where('panel_id', '=', id).execute()
      for (const step of steps)
        for (let n = random.whole(0, 5); n > 0; n--)
          await addReading(change, anyReading({ stepId: step.id, referenceId: null }, random))
    }
    await change.insert('reference', {
      id: 'wanted',
      name: 'wanted',
      notes: '',
      created_at: '2031-01-01T00:00:00.000Z',
      deleted_at: null,
    })
    for (let n = 0; n < 25; n++) await addReading(change, anyReading({ stepId: null, referenceId: 'wanted' }, random))
  })
  await rack.forgetHistory()
}, 60_000)
afterAll(() => rack.close())

type Asked = { filter: PanelFilter; readings: ReadingFilter; options: Parameters<typeof rankMatches>[2] }

function anyQuestion(at: Random): Asked {
  const filter: PanelFilter = {
    ...noFilter,
    ...(at.chance(0.4) ? { grounds: [`ground ${at.whole(0, 3)}`] } : {}),
    ...(at.chance(0.3) ? { tags: [`tag ${at.whole(0, 2)}`] } : {}),
  }
  const readings: ReadingFilter = {
    view: at.chance(0.3) ? at.pick(['face', 'flop'] as const) : null,
    lightId: at.chance(0.3) ? at.pick(lights) : null,
  }
  const weights = at.chance(0.4) ? { kL: at.between(0.5, 2), kC: at.between(0.5, 2), kH: at.between(0.5, 2) } : null
  return {
    filter,
    readings,
    options: {
      sameLimit: 1,
      count: at.pick([1, 5, 24, 200, 500]),
      weights,
      within: at.chance(0.3) ? at.between(2, 25) : null,
      likeOnly: at.chance(0.3),
    },
  }
}

/** Both ways at one state of the rack. */
async function bothWays(readingId: string, { filter, readings, options }: Asked) {
  const kept = boards(rack)
  const board = await kept.load(readings.lightId)
  return rack.read(async (db) => {
    await kept.freshen(db, board)
    const to = await getReading(db, readingId)
    const all = await listCandidates(db, filter, readings)
    const allowed = await allowedBy(db, board, filter)
    return {
      board: await nearestSteps(db, board, to, readings, allowed, options),
      plain: rankMatches(
        to,
        all.filter(({ stepId }) => stepId !== to.stepId),
        options,
      ),
      counted: countAllowed(board, allowed, readings.view),
      steps: new Set(all.map(({ stepId }) => stepId)).size,
    }
  })
}

/** A reading whose panel, if it has one, is there. */
async function anyReadingId(at: Random): Promise<string> {
  const rows = await rack.db
    .selectFrom('reading')
    .leftJoin('step', 'step.id', 'reading.step_id')
    .leftJoin('panel', 'panel.id', 'step.panel_id')
    .select('reading.id')
    .where('reading.deleted_at', 'is', null)
    .where('panel.deleted_at', 'is', null)
    .execute()
  return at.pick(rows).id
}

async function agree(times: number, at: Random): Promise<number> {
  let found = 0
  for (let i = 0; i < times; i++) {
    const { board, plain, counted, steps } = await bothWays(await anyReadingId(at), anyQuestion(at))
    expect(board).toEqual(plain)
    expect(counted).toBe(steps)
    found += plain.length
  }
  return found
}

test('finds what the plain ranking of all readings finds, in the same order', async () => {
  expect(await agree(300, random.fork('questions'))).toBeGreaterThan(1000)
})

test('stays right while readings and panels come and go, are undone and done again', async () => {
  const at = random.fork('changes')
  expect(await agree(5, at)).toBeGreaterThan(0)
  for (let round = 0; round < 60; round++) {
    const what = at.pick(['add', 'remove', 'trash', 'undo', 'redo'] as const)
    if (what === 'undo') await rack.undo().catch(() => undefined)
    else if (what === 'redo') await rack.redo().catch(() => undefined)
    else
      await rack.change({ label: what }, async (change) => {
        const step = at.pick(await change.db.selectFrom('step').select(['id', 'panel_id']).execute())
        if (what === 'add') await addReading(change, anyReading({ stepId: step.id, referenceId: null }, at))
        else if (what === 'trash')
          await change.update('panel', step.panel_id, { deleted_at: '2031-01-02T00:00:00.000Z' })
        else {
          const id = at.pick(
            await change.db.selectFrom('reading').select('id').where('step_id', 'is not', null).execute(),
          )
          await removeReading(change, id.id)
        }
      })
    await agree(2, at)
  }
})

test('a change that fails leaves the board as it was', async () => {
  const at = random.fork('failures')
  const failed = rack.change({ label: 'fail' }, async (change) => {
    const step = at.pick(await change.db.selectFrom('step').select('id').execute())
    await addReading(change, anyReading({ stepId: step.id, referenceId: null }, at))
    throw new Error('on purpose')
  })
  await expect(failed).rejects.toThrow('on purpose')
  expect(await agree(20, at)).toBeGreaterThan(0)
})
