import { join } from 'node:path'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { Failure, Output } from '../../shared-core/contract/calls.ts'
import { type BenchService, benchService } from './bench-service.ts'
import { type Command, command, dumpAll, kinds, perform } from './painter-commands.ts'

/** A panel as it stood, against what was read from the rack at that time. */

/** A photo that was undone and taken in anew is the same photo under another id. */
function byPhotoName(
  readings: Read['readings'],
  photos: ReadonlyArray<{ id: string; name: string }>,
): Read['readings'] {
  const nameOf = (id: string | null) => id && (photos.find((photo) => photo.id === id)?.name ?? 'in the trash')
  return readings.map((reading) => ({ ...reading, photoId: nameOf(reading.photoId) }))
}

type Read = Pick<Output<'panels.get'>, 'panel' | 'readings'> & { photos: string[] }

/** Null: not in the rack, or in its trash. */
async function readNow(service: BenchService, panelId: string): Promise<Read | null> {
  try {
    const { panel, readings, photos } = await service.call('panels.get', { key: panelId })
    return { panel, readings: byPhotoName(readings, photos), photos: photos.map(({ name }) => name) }
  } catch (error) {
    if ((error as Failure).code !== 'panel/absent') throw error
    return null
  }
}

async function readThen(service: BenchService, panelId: string, changeId: string): Promise<Read | null> {
  const { past } = await service.call('history.panelAt', { panelId, changeId, keepLater: false })
  if (!past || past.inTrash) return null
  const { panel, readings, photos } = past
  return { panel, readings: byPhotoName(readings, photos), photos: photos.map(({ name }) => name) }
}

/** The change that is in force and was made last. */
async function head(service: BenchService): Promise<string | null> {
  const { db } = service.context.rack()
  const row = await db
    .selectFrom('change')
    .select('id')
    .where('state', '=', 'done')
    .orderBy('seq', 'desc')
    .limit(1)
    .executeTakeFirst()
  return row?.id ?? null
}

async function everyPanel(service: BenchService): Promise<string[]> {
  const { db } = service.context.rack()
  const rows = await db.selectFrom('change_row').select('row_id').distinct().where('table_name', '=', 'panel').execute()
  return rows.map(({ row_id }) => row_id)
}

/** Codes, names of materials, photos and their readings may be another's by now, which is said. */
const whatNoNoteIsAbout = (read: Read | null) => {
  if (!read) return null
  const { code: _, layers, ...panel } = read.panel
  return { panel, layers: layers.map(({ mixture: __, ...layer }) => layer) }
}

type Doing = Command | { kind: 'undo' | 'redo' | 'restore'; pick: number; value: number }
const doing: fc.Arbitrary<Doing> = fc.oneof(
  { weight: 5, arbitrary: command },
  {
    weight: 2,
    arbitrary: fc.record({
      kind: fc.constantFrom('undo' as const, 'redo' as const, 'restore' as const),
      pick: fc.nat(100),
      value: fc.integer({ min: 1, max: 8 }),
    }),
  },
)

const isPainters = (each: Doing): each is Command => (kinds as readonly string[]).includes(each.kind)

/** What is refused changes nothing. */
async function tried<T>(work: () => Promise<T>): Promise<T | null> {
  try {
    return await work()
  } catch (error) {
    if (!/^(history|panel)\//.test((error as Failure).code)) throw error
    return null
  }
}

test('a panel as it stood is what was read then, also of what was left behind; restoring brings just that, and is undone', async () => {
  let restored = 0
  /** Whether each left everything as it was. */
  const refusals: boolean[] = []
  let leftBehind = 0
  await fc.assert(
    fc.asyncProperty(fc.array(doing, { minLength: 10, maxLength: 22 }), async (all) => {
      const service = await benchService()
      await service.call('rack.create', { folder: join(service.folder, 'rack'), name: 'Past' })
      const begun: Doing[] = [
        { kind: 'panels.save, new', pick: 0, value: 1 },
        { kind: 'photos.takeIn', pick: 0, value: 1 },
        { kind: 'photos.file', pick: 0, value: 1 },
      ]
      /** What was read after each change, when it was the last one. */
      const seen = new Map<string, Map<string, Read | null>>()
      const look = async () => {
        const change = await head(service)
        if (change === null) return
        const reads = new Map<string, Read | null>()
        for (const id of await everyPanel(service)) reads.set(id, await readNow(service, id))
        seen.set(change, reads)
      }
      const some = <T>(list: readonly T[], pick: number) => list[pick % Math.max(1, list.length)]
      for (const each of [...begun, ...all]) {
        if (isPainters(each)) await perform(service, each)
        else if (each.kind === 'restore') {
          const panelId = some(await everyPanel(service), each.value) ?? 'none'
          const changeId = some([...seen.keys()], each.pick) ?? 'none'
          await tried(() =>
            service.call('history.restorePanel', { panelId, changeId, keepLater: each.value % 2 === 0 }),
          )
        } else await tried(() => service.call(`history.${each.kind as 'undo' | 'redo'}`, {}))
        await look()
      }
      const { entries } = await service.call('history.list', { panelId: null, limit: 500 })
      leftBehind += entries.filter((entry) => entry.leftBehind).length
      for (const [changeId, reads] of seen)
        for (const [panelId, read] of reads) expect(await readThen(service, panelId, changeId)).toEqual(read)
      for (const [changeId, reads] of [...seen].slice(0, 8))
        for (const [panelId, read] of reads) {
          const before = await dumpAll(service.context.rack())
          const answer = await tried(() =>
            service.call('history.restorePanel', { panelId, changeId, keepLater: false }),
          )
          if (!answer) {
            refusals.push((await dumpAll(service.context.rack())) === before)
            continue
          }
          restored++
          // a second time there is nothing to do
          const again = { panelId, changeId, keepLater: false }
          expect(await service.call('history.panelAt', again)).toMatchObject({ differs: false })
          expect(await service.refusal('history.restorePanel', again)).toMatchObject({ code: 'history/same' })
          const now = await readNow(service, panelId)
          // what could not come back was said: everything else is as it was
          const isWhole = answer.notes.every((note) => note.startsWith('Removed from the shelf'))
          expect(isWhole ? now : whatNoNoteIsAbout(now)).toEqual(isWhole ? read : whatNoNoteIsAbout(read))
          await service.call('history.undo', {})
          expect(await dumpAll(service.context.rack())).toBe(before)
        }
      for (const [changeId, reads] of [...seen].slice(0, 4))
        for (const panelId of reads.keys()) {
          const before = await dumpAll(service.context.rack())
          const had = await readNow(service, panelId)
          const asked = { panelId, changeId, keepLater: true }
          if (!(await tried(() => service.call('history.restorePanel', asked)))) continue
          // nothing that is there now is lost, whatever was there then
          const has = await readNow(service, panelId)
          const lost = had?.readings.filter(({ id }) => !has?.readings.some((reading) => reading.id === id)) ?? []
          expect(lost).toEqual([])
          expect(has?.photos).toEqual(expect.arrayContaining(had?.photos ?? []))
          await service.call('history.undo', {})
          expect(await dumpAll(service.context.rack())).toBe(before)
        }
      await service.call('rack.close', {})
    }),
    { numRuns: 4, endOnFailure: true },
  )
  expect(refusals).not.toContain(false)
  expect(restored).toBeGreaterThan(0)
  expect(leftBehind).toBeGreaterThan(0)
}, 120_000)
