import { join } from 'node:path'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { benchService } from './bench-service.ts'
import { type Command, command, dumpAll, kinds, perform } from './painter-commands.ts'

/** In an order in which each finds something to alter. */
const everyKind: ReadonlyArray<Command['kind']> = [
  'plan.addPanels',
  'materials.setOnShelf',
  'panels.save, again',
  'lights.add',
  'readings.addTyped',
  'readings.remove',
  'references.addTyped',
  'references.rename',
  'setups.calibrate',
  'setups.change',
  'photos.mark',
  'photos.file',
  'history.restorePanel',
  'photos.fileReference',
  'setups.remove',
  'photos.discard',
  'photos.takeIn',
  'references.remove',
  'searches.save',
  'searches.rename',
  'panels.changeMany',
  'searches.remove',
  'panels.remove',
  'panels.save, new',
]

test('whatever a painter did is taken back step by step, and done again, also by the next service', async () => {
  const seen = new Set<string>()
  await fc.assert(
    fc.asyncProperty(fc.array(command, { minLength: 6, maxLength: 16 }), async (commands) => {
      const service = await benchService()
      const folder = join(service.folder, 'rack')
      await service.call('rack.create', { folder, name: 'Undone' })
      // something to work on
      const begun: Command[] = [
        { kind: 'panels.save, new', pick: 0, value: 1 },
        { kind: 'photos.takeIn', pick: 0, value: 1 },
      ]
      const states = [await dumpAll(service.context.rack())]
      for (const each of [...begun, ...commands]) {
        await perform(service, each)
        const state = await dumpAll(service.context.rack())
        if (state === states.at(-1)) continue
        states.push(state)
        seen.add(each.kind)
      }
      await service.call('rack.close', {})
      await service.call('rack.open', { folder })
      for (const state of states.slice(0, -1).toReversed()) {
        await service.call('history.undo', {})
        expect(await dumpAll(service.context.rack())).toBe(state)
      }
      expect(await service.refusal('history.undo', {})).toMatchObject({ code: 'history/nothing' })
      await service.call('rack.close', {})
      await service.call('rack.open', { folder })
      for (const state of states.slice(1)) {
        await service.call('history.redo', {})
        expect(await dumpAll(service.context.rack())).toBe(state)
      }
      expect(await service.refusal('history.redo', {})).toMatchObject({ code: 'history/nothing' })
      await service.call('rack.close', {})
    }),
    { numRuns: 14, examples: [[everyKind.map((kind): Command => ({ kind, pick: 0, value: 2 }))]] },
  )
  // a kind of change that never altered anything would be untested
  expect([...seen].toSorted()).toEqual([...kinds].toSorted())
}, 120_000)
