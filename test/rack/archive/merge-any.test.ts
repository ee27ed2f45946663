import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { Wish } from '../../../electron/rack/archive/merge/merge.ts'
import type { Rack } from '../../../electron/rack/opening/open.ts'
import { readPanel } from '../../../electron/rack/queries/panel-read.ts'
import { removePanel, savePanel } from '../../../electron/rack/queries/panels.ts'
import { addReading, removeReading } from '../../../electron/rack/queries/readings.ts'
import { dump } from '../fresh.ts'
import { candyMixture, layer } from '../layers-typed.ts'
import {
  copied,
  emptyRack,
  hang,
  hanging,
  photograph,
  plan,
  soundness,
  stepsOf,
  take,
  typed,
  usual,
} from './merging.ts'

/** Whatever two racks did: taking in is done once, can be taken back, and leaves a sound rack. */

type Act = { kind: number; panel: number; value: number }
const act: fc.Arbitrary<Act> = fc.record({ kind: fc.nat(8), panel: fc.nat(5), value: fc.nat(3) })
const choice = fc.constantFrom('mine' as const, 'theirs' as const, 'both' as const)
const wish: fc.Arbitrary<Wish> = fc
  .record({
    new: fc.constantFrom('theirs' as const, 'mine' as const),
    'changed-there': choice,
    'changed-here': choice,
    'changed-both': choice,
    'probably-same': choice,
    'in-trash-here': choice,
  })
  .map((rules) => ({ ...usual, rules }))

async function perform(rack: Rack, acts: readonly Act[], whose: string): Promise<void> {
  for (const { kind, panel, value } of acts) {
    const panels = await rack.db
      .selectFrom('panel')
      .select('id')
      .where('deleted_at', 'is', null)
      .orderBy('id')
      .execute()
    const id = panels[panel % Math.max(1, panels.length)]?.id
    if (kind === 0 || id === undefined) await hang(rack, { title: `Panel ${value}` }, 40 + value)
    else if (kind === 1)
      await rack.change({ label: 'rename' }, (change) => change.update('panel', id, { title: `${whose} ${value}` }))
    else if (kind === 2) await rack.change({ label: 'remove' }, (change) => removePanel(change, id))
    else if (kind === 3)
      await rack.change({ label: 'mix' }, async (change) => {
        const old = await readPanel(change.db, id)
        await savePanel(change, {
          ...old,
          layers: [layer('candy', '', { coats: value, mixture: candyMixture('copper', `dye ${value}`) })],
        })
      })
    else if (kind === 4) {
      const [step] = await stepsOf(rack, id)
      await rack.change({ label: 'read' }, (change) =>
        addReading(change, typed(60 + value, step ?? '', `2031-07-0${value + 1}T10:00:00.000Z`)),
      )
    } else if (kind === 5) {
      const seed = `photo ${value}`
      const sha256 = (await rack.db.selectFrom('photo').select('sha256').execute()).length
      await rack.change({ label: 'photograph' }, (change) => photograph(change, id, `${seed} ${whose} ${sha256}`))
    } else if (kind === 6) {
      const [reading] = await rack.db
        .selectFrom('reading')
        .select('id')
        .where('deleted_at', 'is', null)
        .orderBy('id')
        .limit(1)
        .execute()
      if (reading) await rack.change({ label: 'remove' }, (change) => removeReading(change, reading.id))
    } else if (kind === 7) await rack.undo().catch(() => undefined)
    else
      await rack.change({ label: 'steps' }, async (change) => {
        const old = await readPanel(change.db, id)
        await savePanel(change, {
          ...old,
          steps: [...old.steps, { id: null, coats: 5 + value, notes: '' }].slice(0, 6),
          tags: [whose],
        })
      })
  }
}

test('taken in twice is taken in once; undo takes it back; what is left is sound', async () => {
  const one = await emptyRack('one')
  await hang(one, { title: 'First' })
  await hang(one, { title: 'Second' })
  await fc.assert(
    fc.asyncProperty(
      fc.boolean(),
      fc.array(act, { maxLength: 6 }),
      fc.array(act, { maxLength: 6 }),
      wish,
      async (isCopy, here, there, wanted) => {
        const [ours, theirs] = isCopy ? await copied(await fresh()) : [await fresh(), await emptyRack('theirs')]
        await perform(ours, here, 'here')
        await perform(theirs, there, 'there')
        const before = await dump(ours)
        const otherBefore = await dump(theirs)
        const { operations } = await take(ours, theirs, wanted)
        expect(soundness(ours)).toEqual(['ok', []])
        const after = await dump(ours)
        expect(plan(ours, theirs, wanted).operations).toBe(0)
        expect(await dump(theirs)).toBe(otherBefore)
        // with nothing taken in, there is nothing of it to take back
        if (operations > 0) await ours.undo()
        expect(await dump(ours)).toBe(before)
        if (operations > 0) await ours.redo()
        expect(await dump(ours)).toBe(after)
        await ours.close()
        await theirs.close()
      },
    ),
    { numRuns: 12 },
  )
}, 60_000)

async function fresh(): Promise<Rack> {
  const rack = await emptyRack('ours')
  await hang(rack, { title: 'First' })
  await hang(rack, { title: 'Second' })
  return rack
}

test('two racks of panels that are not here come to the same in either order', async () => {
  await fc.assert(
    fc.asyncProperty(fc.array(act, { maxLength: 5 }), fc.array(act, { maxLength: 5 }), async (left, right) => {
      const [a, b] = [await emptyRack('left'), await emptyRack('right')]
      // titles of their own: nothing of one is probably the other’s
      await perform(
        a,
        [{ kind: 0, panel: 0, value: 0 }, { kind: 1, panel: 0, value: 7 }, ...left.filter(({ kind }) => kind !== 0)],
        'left',
      )
      await perform(
        b,
        [{ kind: 0, panel: 0, value: 1 }, { kind: 1, panel: 0, value: 8 }, ...right.filter(({ kind }) => kind !== 0)],
        'right',
      )
      const [one, other] = [await emptyRack('ours'), await emptyRack('ours')]
      for (const from of [a, b]) await take(one, from)
      for (const from of [b, a]) await take(other, from)
      expect(await hanging(one)).toEqual(await hanging(other))
      for (const rack of [a, b, one, other]) await rack.close()
    }),
    { numRuns: 5 },
  )
}, 60_000)
