import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterAll, beforeAll, expect, test, vi } from 'vitest'
import { connect } from '../../electron/rack/opening/connection.ts'
import { createRack, type Rack } from '../../electron/rack/opening/open.ts'
import { keepHint } from '../../electron/rack/queries/hints.ts'
import { type Context, openContext } from '../../electron/service/context.ts'
import { dispatch } from '../../electron/service/dispatch.ts'
import { handlers } from '../../electron/service/handlers/all.ts'
import type { CallName, Input, Output } from '../../shared-core/contract/calls.ts'
import { noFilter, PanelSort } from '../../shared-core/records/panel.ts'
import { PanelGroup } from '../../shared-core/records/wall.ts'
import { layoutFor, noHelp, panelPhoto } from '../contract/panel-photo.ts'
import { draft, freshRack, workFolder } from './fresh.ts'
import { fullScans, type Plan } from './full-scans.ts'
import { sow } from './random-panels.ts'

/**
 * Every statement that the places Rack, Panel, Match, Tray and Side by side have carried out, each as SQLite plans it on a
 * real rack. Source of what a plan says: SQLite, EXPLAIN QUERY PLAN, section 1.1.
 */

/** Where all of a table is the answer, or what holds for all of it is. */
const wholeTables: ReadonlyArray<{ plan: RegExp; statement: RegExp; why: string }> = [
  {
    plan: /^SCAN panel_row USING (COVERING )?INDEX panel_row_\w+$/,
    statement: /from "panel_row" order by/,
    why: 'every panel hangs on the wall, in the order of this index',
  },
  {
    plan: /^SCAN panel_row USING COVERING INDEX panel_row_cleared$/,
    statement: /^select count\(\*\) as "count" from "panel_row"$/,
    why: 'how many panels there are',
  },
  {
    plan: /^SCAN photo USING INDEX photo_tray$/,
    statement: /from "?photo"? (left join "photo_proposal" on .{0,80} )?where ("photo"\.)?"?filed"? = 0 and/,
    why: 'every photo that waits lies in the tray; the index has no others',
  },
  {
    plan: /^SCAN watched_file USING INDEX watched_file_given$/,
    statement: /^delete from watched_file where state = 'given' and/,
    why: 'files that are on their way into the tray; the index has no others',
  },
  {
    plan: /^SCAN change USING INDEX \w+$/,
    statement: /from "change" order by "seq" desc limit \?$/,
    why: 'the newest changes, and no further than the limit',
  },
  {
    plan: /^SCAN panel$/,
    statement:
      /^select "id", "code", "title", "deleted_at" from "panel"( where "deleted_at" is not null order by .*)?$/,
    why: 'which panels are in the trash, and words in every code and title, also of those: the index of words has not them',
  },
  {
    plan: /^SCAN reference$/,
    statement: /^select \* from "reference" where "deleted_at" is null order by/,
    why: 'all references are offered',
  },
  {
    plan: /^SCAN panel\b/,
    statement:
      /^select "panel"."id", "panel"."code", "panel"."title" from "panel" where "panel"."deleted_at" is null order by/,
    why: 'every panel is on the map',
  },
  {
    plan: /^SCAN (panel|step|reading)\b/,
    statement:
      /^select "panel_id", "position", "coats", "l", "a", "b", "bound90" from .* "panel"."deleted_at" is null\)/,
    why: 'every colour is a point of the map',
  },
  {
    plan: /^SCAN photo$/,
    statement: /^select "sha256", "format" from "photo" where "deleted_at" is null$/,
    why: 'whether every original is there, once after opening, beside the work',
  },
  {
    plan: /^SCAN photo_proposal$/,
    statement: /^select "photo_id", substr\(fingerprint, 1, \?\) as "quick" from "photo_proposal" where/,
    why: 'any photo may be the twin of another; once after opening, beside the work',
  },
  {
    plan: /^SCAN panel USING INDEX panel_code$/,
    statement: /^select "id", "title" from "panel" where "deleted_at" is null and "title" <> \?$/,
    why: 'words typed on a phone may be the title of any panel',
  },
  {
    plan: /^SCAN panel$/,
    statement: /^select "id", "code" from "panel" where "deleted_at" is not null$/,
    why: 'a code in a photo that no panel on the wall has may be one in the trash',
  },
  {
    plan: /^SCAN known_sheet USING INDEX known_sheet_series$/,
    statement: /^select distinct "series" from "known_sheet" where/,
    why: 'which sheets are known: one row for each time that a printer got new ink or paper',
  },
  {
    plan: /^SCAN file_check$/,
    statement: /from file_check join photo .* where found <> 'whole'/,
    why: 'which files were not whole at the last look through, once after opening, beside the work',
  },
]

const desk = workFolder()
const prepare = vi.spyOn(Database.prototype, 'prepare')
afterAll(() => prepare.mockRestore())

/** Full scans by call; a statement that an earlier call had carried out, too, stands with that one. */
const found: Array<Plan & { call: string }> = []
let statementCount = 0

beforeAll(async () => {
  const path = await panelPhoto(join(desk, 'panel.png'))
  mkdirSync(join(desk, 'app'))
  const context = await openContext(join(desk, 'app'), () => undefined)
  const folder = join(desk, 'rack')
  const planned = async <T>(name: string, work: () => Promise<T>): Promise<T> => {
    prepare.mockClear()
    const answer = await work()
    // planned on the connection that has them carried out, which may have tables of its own
    const raw = prepare.mock.contexts.at(-1) as Database.Database | undefined
    const statements = prepare.mock.calls.map(([text]) => text)
    statementCount += statements.length
    if (raw?.open) found.push(...fullScans(raw, statements).map((plan) => ({ ...plan, call: name })))
    return answer
  }
  const call = <N extends CallName>(name: N, input: Input<N>) =>
    planned(name, async () => {
      const answer = await dispatch(name, input, context, handlers)
      if (!answer.ok) throw new Error(`${name}: ${answer.error.message}`)
      return answer.value as Output<N>
    })
  // a new rack is made by migrating, whose statements are not asked of a large one
  await (await createRack(folder, 'Plans')).close()
  await call('rack.open', { folder })
  const rack: Rack = context.rack()
  await planned('a look at the rack', () => context.looks.look(rack))
  const ids = await sow(
    rack,
    Array.from({ length: 14 }, (_, i) => ({
      code: i,
      ground: i,
      candy: i + 1,
      day: i,
      lab: i % 5 ? { l: 20 + i * 4, a: 30 - i * 4, b: i * 3 } : null,
      status: i,
      tags: i,
    })),
  )
  const intake = await call('photos.takeIn', { files: [{ path, name: 'panel.png' }] })
  const photoId = await photoOf(context, intake.jobId)
  const { reference } = await call('references.addTyped', { ...typed, name: 'chip' })
  const panel = (await call('panels.save', { draft: draft() })).panel
  const stepId = panel.steps[1]?.id ?? ''
  const { search } = await call('searches.save', { name: 'a', filter: noFilter, sort: 'hue', group: 'hue' })

  // Rack
  await call('rack.describe', {})
  await call('history.list', { panelId: null, limit: 20 })
  await call('panels.listWords', {})
  await call('searches.list', {})
  await call('searches.rename', { id: search.id, name: 'b' })
  const narrowed = {
    words: 'damsn p-0 "ember"',
    grounds: ['charcoal'],
    candies: ['Damson'],
    tags: ['boat'],
    cleared: true,
    status: 'sprayed',
  } as const
  const filters = [
    noFilter,
    { ...narrowed, grounds: [...narrowed.grounds], candies: [...narrowed.candies], tags: [...narrowed.tags] },
    { ...noFilter, words: 'embre' },
    { ...noFilter, grounds: ['charcoal', 'Écru'] },
    { ...noFilter, candies: ['Damson'] },
    { ...noFilter, tags: ['boat'] },
    { ...noFilter, cleared: true },
    { ...noFilter, cleared: false },
    { ...noFilter, status: 'retired' as const },
  ]
  for (const filter of filters) {
    for (const sort of PanelSort.options)
      for (const group of PanelGroup.options) await call('panels.order', { filter, sort, group })
    await call('panels.list', { filter, sort: 'code', limit: 20 })
    await call('panels.colours', { filter })
    await call('match.findNearest', {
      to: { readingId: reference.readings[0]?.id ?? '' },
      filter,
      readings: { view: 'face', lightId: null },
      limit: 12,
    })
  }
  await call('panels.summaries', { ids: ids.slice(0, 5), stepIds: [stepId] })
  await call('panels.changeMany', {
    panelIds: ids,
    change: { addTags: ['a'], removeTags: ['boat'], ground: 'lilac', retire: true },
  })
  await call('panels.changeMany', { panelIds: ids, change: { retire: false } })
  await call('panels.changeMany', { panelIds: ids.slice(0, 2), change: { trash: true } })
  for (const direction of ['undo', 'redo'] as const) await call(`history.${direction}`, {})
  await call('searches.remove', { id: search.id })

  // Panel
  for (const key of [panel.id, panel.code]) await call('panels.get', { key })
  const { entries } = await call('history.list', { panelId: panel.id, limit: 20 })
  await call('history.list', { panelId: panel.id, who: 'Wren', before: '40', limit: 20 })
  await call('history.list', { panelId: null, who: 'Wren', before: '40', limit: 20 })
  await call('history.listPainters', {})
  for (const words of ['', 'dam']) await call('history.findPanels', { words })
  const then = { panelId: panel.id, changeId: entries.at(-1)?.id ?? '', keepLater: false }
  await call('panels.save', { draft: { ...panel, title: 'another', layers: panel.layers.slice(1) } })
  await call('history.panelAt', then)
  await call('history.describe', { changeId: then.changeId })
  await call('history.restorePanel', then)
  await call('history.undo', {})
  await call('panels.nextCode', {})
  await call('materials.list', {})
  await call('gunSetups.list', {})
  await call('lights.list', {})
  await call('panels.save', { draft: { ...panel, title: 'Other', tags: ['x'], layers: panel.layers.slice(1) } })
  await call('readings.addTyped', { ...typed, stepId })

  // Tray
  await call('photos.listTray', {})
  await call('photos.listWaiting', {})
  await call('photos.getMany', { photoIds: [photoId] })
  await call('photos.get', { photoId })
  await call('photos.listFlats', { photoId })
  await keepHint(rack.db, photoId, { cameFrom: 'phone', panel: 'Other', light: 'lamp' })
  await call('proposals.overview', {})
  await call('proposals.get', { photoId })
  await call('proposals.again', { photoId, panelId: panel.id })
  await call('setups.list', {})
  const circumstances = { lightId: null, view: 'face', stage: 'dry', ...noHelp } as const
  await call('photos.read', { photoId, layout: layoutFor(stepId), ...noHelp })
  await call('photos.mark', { photoId, layout: layoutFor(stepId), ...circumstances })
  const filed = await call('photos.file', {
    photoId,
    panelId: panel.id,
    layout: layoutFor(stepId),
    ...circumstances,
    ageDays: 1,
  })

  // Match and Side by side
  const readingId = filed.readings[0]?.id ?? ''
  // beside what is marked, on the paint
  const point = { photoId, x: 0.5, y: 0.9 }
  await call('references.list', {})
  await call('references.get', { referenceId: reference.id })
  for (const lightId of [null, 'some light'])
    await call('match.findNearest', {
      to: lightId === null ? { readingId } : point,
      filter: noFilter,
      readings: { view: null, lightId },
      limit: 500,
    })
  await call('photos.readPoint', point)
  await call('side.readItems', {
    items: [
      { kind: 'panel', id: panel.id },
      { kind: 'step', id: stepId },
      { kind: 'reading', id: readingId },
      { kind: 'reference', id: reference.id },
      { kind: 'point', ...point },
    ],
  })
  await call('readings.remove', { readingId })
  await call('photos.discard', { photoId })
  await call('references.remove', { referenceId: reference.id })
  await call('panels.remove', { panelId: panel.id })
  await context.close()
}, 120_000)

async function photoOf(context: Context, jobId: string): Promise<string> {
  for (;;) {
    const job = context.jobs.list().find(({ id }) => id === jobId)
    if (job && job.state !== 'running') return job.items[0]?.photoId ?? ''
    await new Promise((resolve) => setTimeout(resolve, 10))
  }
}

const typed = {
  lab: { l: 40, a: 10, b: -20 },
  illuminant: 'D50' as const,
  observer: '2' as const,
  geometry: '45:0' as const,
  bound90: 1,
  view: 'face' as const,
  stage: 'dry' as const,
  lightId: null,
}

const isAllowed = ({ plan, statement }: Plan) =>
  wholeTables.find((each) => each.plan.test(plan) && each.statement.test(statement))

test('no statement reads a table from end to end that grows with the rack', () => {
  expect(statementCount).toBeGreaterThan(150)
  const faults = found.filter((each) => !isAllowed(each))
  expect(faults.map(({ call, plan, statement }) => `${call}: ${plan} in ${statement}`)).toEqual([])
})

test('every exception is one that is needed', () => {
  const needed = new Set(found.map(isAllowed))
  expect(wholeTables.filter((each) => !needed.has(each))).toEqual([])
})

test('the check finds a statement that lacks an index, also under another name, in a part, and in a change', async () => {
  const rack = await freshRack()
  await rack.close()
  const other = connect(join(rack.folder, 'rack.sqlite'))
  const scansOf = (statement: string) => fullScans(other, [statement]).map(({ plan }) => plan)
  expect(scansOf("select id from panel where notes = ''")).toEqual(['SCAN panel'])
  expect(scansOf("select id from panel as p where p.notes = ''")).toEqual(['SCAN p'])
  expect(scansOf('select id from step where panel_id in (select id from panel where notes = ?)')).toEqual([
    'SCAN panel',
  ])
  expect(scansOf("update reading set stage = 'dry' where stage = 'wet'")).toEqual(['SCAN reading'])
  expect(scansOf("select rowid from panel_words where title = 'x'")).toHaveLength(1)
  expect(scansOf('select id from panel order by code')).toHaveLength(1)
  expect(scansOf("select id from panel where code = 'P-1' and deleted_at is null")).toEqual([])
  // the indexes are what keeps it quiet
  other.exec('drop index reading_step')
  expect(scansOf('select id from reading where step_id = ?')).toEqual(['SCAN reading'])
  other.exec('drop index panel_row_hue')
  expect(scansOf('select panel_id from panel_row order by hue_order is null, hue_order, code_key')[0]).toBe(
    'SCAN panel_row',
  )
  other.close()
})
