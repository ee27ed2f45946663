import fc from 'fast-check'
import { CompiledQuery } from 'kysely'
import { expect, test } from 'vitest'
import { openRack, type Rack } from '../../electron/rack/opening/open.ts'
import { listHistory } from '../../electron/rack/queries/history.ts'
import { saveLayout } from '../../electron/rack/queries/layouts.ts'
import { readPanel } from '../../electron/rack/queries/panel-read.ts'
import { removePanel, savePanel } from '../../electron/rack/queries/panels.ts'
import { addPhoto, discardPhoto } from '../../electron/rack/queries/photos.ts'
import { describeRack } from '../../electron/rack/queries/rack-info.ts'
import { addReading, removeReading } from '../../electron/rack/queries/readings.ts'
import { addReference } from '../../electron/rack/queries/references.ts'
import { keepCalibration, removeSetup } from '../../electron/rack/queries/setups.ts'
import { addLight } from '../../electron/rack/queries/shelf.ts'
import { typedReading } from '../../electron/service/typed-colour.ts'
import type { Quad, Shape } from '../../shared-core/records/area.ts'
import { draft, dump, freshRack, newPhoto, setupFit } from './fresh.ts'
import { candyMixture, layer } from './layers-typed.ts'

const raw = (statement: string) => CompiledQuery.raw(statement)

/** What a painter may do, as numbers: which row is meant is told by `pick`. */
type Command = { what: (typeof kinds)[number]; pick: number; value: number }
const kinds = [
  'add',
  'edit',
  'remove',
  'photo',
  'mark',
  'discard',
  'read',
  'unread',
  'light',
  'reference',
  'setup',
  'unset',
  'help',
] as const
const command: fc.Arbitrary<Command> = fc.record({
  what: fc.constantFrom(...kinds),
  pick: fc.nat(1000),
  value: fc.integer({ min: 1, max: 9 }),
})

const quadAt = (at: number): Quad => [
  [at, at],
  [at + 40, at],
  [at + 40, at + 40],
  [at, at + 40],
]
const square = (at: number): Shape => ({ kind: 'quad', quad: quadAt(at) })
const round = (at: number): Shape => ({ kind: 'round', centre: [at * 2, at * 3], radius: at })
const words = ['dune', 'bled', 'check', 'teal', 'crimson']

async function perform(rack: Rack, { what, pick, value }: Command, serial: number): Promise<void> {
  const panels = await rack.db.selectFrom('panel').select('id').where('deleted_at', 'is', null).orderBy('id').execute()
  const photos = await rack.db
    .selectFrom('photo')
    .select(['id', 'sha256'])
    .where('deleted_at', 'is', null)
    .orderBy('id')
    .execute()
  const panel = panels[pick % Math.max(1, panels.length)]
  const photo = photos[pick % Math.max(1, photos.length)]
  const steps = panel ? (await readPanel(rack.db, panel.id)).steps.flatMap(({ id }) => id ?? []) : []
  await rack.change({ label: `${what} ${serial}`, panelId: panel?.id ?? null }, async (change) => {
    if (what === 'add')
      await savePanel(change, draft({ title: `${words[pick % 5]} ${value}`, tags: words.slice(0, value % 5) }))
    if (what === 'edit' && panel) {
      const old = await readPanel(change.db, panel.id)
      const candy = layer('candy', '', { coats: value, mixture: candyMixture(words[value % 5]!, words[pick % 5]!) })
      const layers = value % 2 ? old.layers.toReversed() : [...old.layers.slice(1), candy]
      await savePanel(change, {
        ...old,
        layers,
        tags: words.slice(value % 5),
        notes: `${serial}`,
        steps: [...old.steps, { id: null, coats: value / 2, notes: '' }].slice(0, 40),
      })
    }
    if (what === 'remove' && panel) await removePanel(change, panel.id)
    if (what === 'photo')
      await addPhoto(change, newPhoto(`photo-${serial}`, { name: `IMG_${serial}.jpg`, byteCount: value }))
    if (what === 'mark' && photo)
      await saveLayout(change, photo, {
        areas: [
          { stepId: steps[0] ?? null, shape: square(value) },
          { stepId: null, shape: round(value) },
        ].slice(pick % 2),
        card: value % 3 ? { quad: quadAt(200), lab: { l: 50, a: 0, b: 0 } } : null,
        tiles: (['white', 'grey', 'black'] as const)
          .slice(value % 4)
          .map((kind, i) => ({ kind, quad: quadAt(60 * i), lab: { l: 20 + value / 3, a: 0.1, b: -0.1 } })),
        chart: pick % 2 ? { quad: quadAt(100), table: 'avg30' } : null,
        mmPerPixel: value % 5 ? value / 30 : null,
      })
    if (what === 'discard' && photo) await discardPhoto(change, photo.id)
    if (what === 'read' && steps[0]) await addReading(change, typedReading(typed(value), { stepId: steps[0] }))
    if (what === 'unread') {
      const reading = await change.db
        .selectFrom('reading')
        .select('id')
        .where('deleted_at', 'is', null)
        .executeTakeFirst()
      if (reading) await removeReading(change, reading.id)
    }
    const setup = await change.db.selectFrom('setup').select('id').where('deleted_at', 'is', null).executeTakeFirst()
    if (what === 'setup' && photo) {
      const said = { name: words[pick % 5]!, camera: 'Ember 5', lightId: null, photoId: photo.id }
      await keepCalibration(change, value % 2 && setup ? setup.id : null, {
        ...said,
        fit: setupFit({ camera: [value / 7] }),
      })
    }
    if (what === 'unset' && setup) await removeSetup(change, setup.id)
    const sheet = photos.find(({ id }) => id !== photo?.id)
    if (what === 'help' && photo)
      await change.update('photo', photo.id, { setup_id: setup?.id ?? null, flat_photo_id: sheet?.id ?? null })
    if (what === 'light') await addLight(change, `lamp ${value}`, value * 1000)
    if (what === 'reference') await addReference(change, `reference-${serial}`, words[value % 5]!)
  })
}

const typed = (value: number) => ({
  lab: { l: 40 + value / 3, a: -value / 7, b: value },
  illuminant: 'D50' as const,
  observer: '2' as const,
  geometry: '45:0' as const,
  bound90: null,
  view: 'face' as const,
  stage: 'dry' as const,
  lightId: null,
})

test('undoing everything gives back every row as it was, and doing it all again too, also after a restart', async () => {
  await fc.assert(
    fc.asyncProperty(fc.array(command, { minLength: 1, maxLength: 14 }), async (commands) => {
      let rack = await freshRack()
      const states = [await dump(rack)]
      for (const [serial, each] of commands.entries()) {
        await perform(rack, each, serial + 1)
        const state = await dump(rack)
        // a command that found nothing to act on leaves no step to undo
        if (state !== states.at(-1)) states.push(state)
      }
      const { entries } = await listHistory(rack.db, { limit: 500 })
      const history = entries.filter(({ kind }) => kind === 'change')
      expect(history).toHaveLength(states.length - 1)
      const { folder } = rack
      await rack.close()
      rack = await openRack(folder)
      for (let i = states.length - 2; i >= 0; i--) {
        await rack.undo()
        expect(await dump(rack)).toBe(states[i])
      }
      await expect(rack.undo()).rejects.toMatchObject({ code: 'history/nothing' })
      for (let i = 1; i < states.length; i++) {
        await rack.redo()
        expect(await dump(rack)).toBe(states[i])
      }
      await expect(rack.redo()).rejects.toMatchObject({ code: 'history/nothing' })
      const whole = await rack.db.executeQuery<{ integrity_check: string }>(raw('pragma integrity_check'))
      expect(whole.rows).toEqual([{ integrity_check: 'ok' }])
      const loose = await rack.db.executeQuery(raw('pragma foreign_key_check'))
      expect(loose.rows).toEqual([])
      await rack.close()
    }),
    { numRuns: 12 },
  )
})

test('a row that is not as the change left it stops the undo, and nothing is changed', async () => {
  const rack = await freshRack()
  const id = await rack.change({ label: 'add panel' }, (change) => savePanel(change, draft()))
  // another program wrote past the history
  await rack.db.updateTable('panel').set({ title: 'scribbled' }).where('id', '=', id).execute()
  const before = await dump(rack)
  const { revision } = await describeRack(rack.db, rack.folder)
  await expect(rack.undo()).rejects.toMatchObject({ code: 'history/conflict' })
  expect(await dump(rack)).toBe(before)
  expect(await describeRack(rack.db, rack.folder)).toMatchObject({ undo: 'add panel', redo: null, revision })
})

test('a new change takes the place of what was undone, and the history still tells', async () => {
  const revisions: number[] = []
  const rack = await freshRack({ who: () => 'Wren', onChanged: (revision) => void revisions.push(revision) })
  const add = (title: string) => rack.change({ label: `add ${title}` }, (change) => savePanel(change, draft({ title })))
  await add('one')
  await add('two')
  await rack.undo()
  expect(await describeRack(rack.db, rack.folder)).toMatchObject({ undo: 'add one', redo: 'add two', panelCount: 1 })
  await add('three')
  await expect(rack.redo()).rejects.toMatchObject({ code: 'history/nothing' })
  expect((await listHistory(rack.db, { limit: 10 })).entries).toMatchObject([
    { label: 'add three', undone: false, who: 'Wren' },
    { label: 'add two', undone: true },
    { label: 'add one', undone: false },
    { label: 'made this rack', kind: 'event' },
  ])
  expect(revisions).toEqual([1, 2, 3, 4])
})

test('work that fails leaves neither rows nor a step to undo', async () => {
  const rack = await freshRack()
  const before = await dump(rack)
  const failing = rack.change({ label: 'add and fail' }, async (change) => {
    await savePanel(change, draft())
    throw new Error('power cut')
  })
  await expect(failing).rejects.toThrow('power cut')
  expect(await dump(rack)).toBe(before)
  await expect(rack.undo()).rejects.toMatchObject({ code: 'history/nothing' })
})

test('parts of one piece of work are one step to undo', async () => {
  const rack = await freshRack()
  const before = await dump(rack)
  for (const title of ['a', 'b'])
    await rack.change({ label: 'add two', partOf: 'piece' }, (change) => savePanel(change, draft({ title })))
  await rack.undo()
  expect(await dump(rack)).toBe(before)
  // what follows after the undo does not sneak back into what was undone
  await rack.change({ label: 'add two', partOf: 'piece' }, (change) => savePanel(change, draft({ title: 'c' })))
  expect(await describeRack(rack.db, rack.folder)).toMatchObject({ panelCount: 1, redo: null })
})

test('a full drive is told as such and leaves everything as it was', async () => {
  const rack = await freshRack()
  await rack.change({ label: 'add' }, (change) => savePanel(change, draft()))
  const before = await dump(rack)
  // SQLite then answers SQLITE_FULL as it does when the drive is full
  const { rows } = await rack.db.executeQuery<{ page_count: number }>(raw('pragma page_count'))
  await rack.db.executeQuery(raw(`pragma max_page_count = ${rows[0]?.page_count}`))
  const big = rack.change({ label: 'add much' }, async (change) => {
    for (let i = 0; i < 60; i++) await savePanel(change, draft({ notes: 'x'.repeat(8000) }))
  })
  await expect(big).rejects.toMatchObject({ code: 'rack/disk-full' })
  await rack.db.executeQuery(raw('pragma max_page_count = 1000000'))
  expect(await dump(rack)).toBe(before)
  await rack.change({ label: 'add again' }, (change) => savePanel(change, draft()))
})

test('what goes on with an earlier change never stands in the way of undoing a later one', async () => {
  const rack = await freshRack()
  const light = await rack.change({ label: 'add two', partOf: 'batch' }, (change) =>
    addLight(change, 'north lamp', 5000),
  )
  const id = light?.id ?? ''
  const before = await dump(rack)
  await rack.change({ label: 'set it colder' }, (change) => change.update('light', id, { kelvin: 6500 }))
  await rack.change({ label: 'add two', partOf: 'batch' }, (change) => change.update('light', id, { kelvin: 7000 }))
  expect((await rack.undo()).label).toBe('add two')
  expect((await rack.undo()).label).toBe('set it colder')
  expect(await dump(rack)).toBe(before)
  expect((await rack.undo()).label).toBe('add two')
})
