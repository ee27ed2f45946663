import { join } from 'node:path'
import fc from 'fast-check'
import { sql } from 'kysely'
import { beforeAll } from 'vitest'
import type { Rack } from '../../electron/rack/opening/open.ts'
import type { CallName } from '../../shared-core/contract/calls.ts'
import type { PlannedPanel } from '../../shared-core/records/film.ts'
import { noFilter, type PanelDraft } from '../../shared-core/records/panel.ts'
import { draft, workFolder } from '../rack/fresh.ts'
import { candyMixture, layer } from '../rack/layers-typed.ts'
import type { BenchService } from './bench-service.ts'
import { box, layoutFor, panelPhoto, sceneLayout, sceneOf } from './panel-photo.ts'

/** What a painter may do, as random calls of the contract. To be imported outside of any test: it draws photos first. */

const desk = workFolder()
const photoCount = 3
/** One of them shows a chart. */
const chartAt = 1
const files: Array<{ path: string; name: string }> = []
beforeAll(async () => {
  for (let i = 0; i < photoCount; i++) {
    const name = `IMG_${i}.png`
    const path = join(desk, name)
    files.push({ path: await (i === chartAt ? sceneOf('chart', path) : panelPhoto(path, i + 1, 240, 160)), name })
  }
})

/** Each is one call of the contract, made as a page makes it; `pick` says on which of the things that are there. */
export const kinds = [
  'panels.save, new',
  'panels.save, again',
  'panels.remove',
  'lights.add',
  'readings.addTyped',
  'readings.remove',
  'references.addTyped',
  'references.rename',
  'references.remove',
  'photos.takeIn',
  'photos.mark',
  'photos.file',
  'photos.fileReference',
  'photos.discard',
  'setups.calibrate',
  'setups.change',
  'setups.remove',
  'plan.addPanels',
  'materials.setOnShelf',
  'panels.changeMany',
  'searches.save',
  'searches.rename',
  'searches.remove',
  'history.restorePanel',
] as const
export type Command = { kind: (typeof kinds)[number]; pick: number; value: number }
export const command: fc.Arbitrary<Command> = fc.record({
  kind: fc.constantFrom(...kinds),
  pick: fc.nat(100),
  value: fc.integer({ min: 1, max: 8 }),
})

const words = ['dune', 'bled', 'check', 'teal', 'crimson']
const word = (n: number): string => words[n % words.length] ?? ''
const typed = (value: number) => ({
  lab: { l: 40 + value / 3, a: -value / 7, b: value },
  illuminant: 'D50' as const,
  observer: '2' as const,
  geometry: '45:0' as const,
  bound90: value % 2 ? null : value / 3,
  view: 'face' as const,
  stage: 'dry' as const,
  lightId: null,
})
/** In a photo of 240 × 160: what `panelPhoto` draws, at its scale. */
const scaled = (stepId: string | null, value: number) => {
  const layout = layoutFor(stepId)
  const shrink = ([x, y]: [number, number]): [number, number] => [x * 0.4 + value, y * 0.4]
  const quad = (from: (typeof layout)['areas'][number]['shape']) => {
    if (from.kind === 'round') throw new Error('A quadrilateral was expected')
    const [a, b, c, d] = from.quad
    return [shrink(a), shrink(b), shrink(c), shrink(d)] as [typeof a, typeof b, typeof c, typeof d]
  }
  const areas = layout.areas.map((area) => ({ ...area, shape: { kind: 'quad' as const, quad: quad(area.shape) } }))
  const card = layout.card && { ...layout.card, quad: quad({ kind: 'quad', quad: layout.card.quad }) }
  return { areas, card }
}

/** Over the ground that every drawn panel begins with. */
const plannedWith = (candyId: string, value: number): PlannedPanel => ({
  ground: 'bright gold',
  formula: {
    candies: [{ id: candyId, parts: value }],
    carrierParts: value % 2 ? 6 : 0,
    reducerPercent: value % 3 ? 5 : 0,
    hardenerPercent: 0,
    under: null,
    over: null,
    gunSetupId: null,
    finish: value % 2 ? 'cleared' : 'uncleared',
  },
  coats: [0, value],
  title: word(value),
})

export async function perform(service: BenchService, { kind, pick, value }: Command): Promise<void> {
  const { context } = service
  const { db } = context.rack()
  const one = <T>(all: readonly T[]): T | undefined => all[pick % Math.max(1, all.length)]
  const live = (table: 'panel' | 'photo' | 'reference' | 'reading' | 'setup') =>
    db.selectFrom(table).select('id').where('deleted_at', 'is', null).orderBy('id').execute()
  const panel = one(await live('panel'))
  const photoId = one(await live('photo'))?.id ?? 'none'
  const referenceId = one(await live('reference'))?.id ?? 'none'
  const readingId = one(await live('reading'))?.id ?? 'none'
  const setupId = one(await live('setup'))?.id ?? null
  const lightId =
    value % 2 ? (one(await db.selectFrom('light').select('id').orderBy('id').execute())?.id ?? null) : null
  const flat = (await live('photo')).find(({ id }) => id !== photoId)
  const help = { setupId, flatPhotoId: value % 4 === 2 ? (flat?.id ?? null) : null }
  const face = { lightId, view: 'face', stage: 'dry', ...help } as const
  const steps = panel ? await db.selectFrom('step').select('id').where('panel_id', '=', panel.id).execute() : []
  const stepId = one(steps)?.id ?? 'none'
  /** What is refused changes nothing, which the test looks at too. */
  const call = async (name: CallName, input: unknown) => {
    try {
      return await service.call(name, input as never)
    } catch (error) {
      if (
        !/^(panel|photo|reading|reference|light|step|setup|film|material|search|history)\//.test(
          (error as { code: string }).code,
        )
      )
        throw error
      return undefined
    }
  }
  const again = async (id: string): Promise<PanelDraft> => {
    const { panel: old } = await service.call('panels.get', { key: id })
    const candy = layer('candy', '', { coats: value, mixture: candyMixture(word(value), word(pick)) })
    return {
      ...old,
      title: word(value),
      status: value % 2 ? 'planned' : 'retired',
      tags: words.slice(value % 5),
      layers: value % 3 ? [...old.layers.slice(1), candy] : old.layers.toReversed(),
      steps: value % 4 ? [...old.steps, { id: null, coats: value / 2, notes: '' }].slice(-40) : old.steps.slice(-1),
    }
  }
  if (kind === 'panels.save, new')
    await call('panels.save', { draft: draft({ title: word(value), notes: word(pick) }) })
  if (kind === 'panels.save, again' && panel) await call('panels.save', { draft: await again(panel.id) })
  if (kind === 'panels.remove') await call('panels.remove', { panelId: panel?.id ?? 'none' })
  if (kind === 'lights.add') await call('lights.add', { name: `lamp ${value}`, kelvin: value * 1000 })
  if (kind === 'readings.addTyped') await call('readings.addTyped', { ...typed(value), stepId })
  if (kind === 'readings.remove') await call('readings.remove', { readingId })
  if (kind === 'references.addTyped') await call('references.addTyped', { ...typed(value), name: word(pick) })
  if (kind === 'references.rename') await call('references.rename', { referenceId, name: word(value) })
  if (kind === 'references.remove') await call('references.remove', { referenceId })
  if (kind === 'photos.takeIn') {
    const { jobId } = await service.call('photos.takeIn', { files: files.slice(0, (value % photoCount) + 1) })
    const { state } = await service.ended(jobId)
    if (state !== 'done') throw new Error(`The intake ended as ${state}`)
  }
  const own = scaled(stepId === 'none' ? null : stepId, value)
  const tile = { kind: 'white' as const, quad: box(200, 20, 20, 20), lab: { l: 90 + value, a: 0, b: 0 } }
  const layout = { ...own, tiles: value % 3 ? [tile] : [], mmPerPixel: value % 2 ? value / 9 : null }
  if (kind === 'photos.mark') await call('photos.mark', { photoId, layout, ...face })
  if (kind === 'photos.file')
    await call('photos.file', { photoId, panelId: panel?.id ?? 'none', layout, ...face, ageDays: value })
  const [area] = scaled(null, value).areas
  if (kind === 'photos.fileReference')
    await call('photos.fileReference', { photoId, name: word(value), area, card: layout.card, ...face })
  if (kind === 'photos.discard') await call('photos.discard', { photoId })
  if (kind === 'setups.calibrate') {
    const chart = await db.selectFrom('photo').select('id').where('name', '=', 'IMG_1.png').executeTakeFirst()
    const told = { photoId: chart?.id ?? 'none', layout: sceneLayout('chart', null), name: word(value), lightId }
    await call('setups.calibrate', { ...told, setupId: value % 3 ? null : setupId })
  }
  if (kind === 'setups.change') await call('setups.change', { setupId: setupId ?? 'none', notes: word(pick), lightId })
  const concentrates = db.selectFrom('material').select('id').where('kind', '=', 'concentrate').orderBy('id')
  const candyId = one(await concentrates.execute())?.id ?? 'none'
  if (kind === 'plan.addPanels')
    await call('plan.addPanels', { panels: [plannedWith(candyId, value), plannedWith(candyId, value + 1)] })
  if (kind === 'materials.setOnShelf')
    await call('materials.setOnShelf', { materialIds: [candyId], onShelf: value % 3 === 0 })
  if (kind === 'panels.changeMany') {
    const change =
      value % 2 ? { addTags: ['many'], ground: word(value) } : { removeTags: ['teal'], retire: value % 3 > 0 }
    const panels = await db.selectFrom('panel').select('id').where('deleted_at', 'is', null).execute()
    await call('panels.changeMany', { panelIds: panels.map((each) => each.id).concat('none'), change })
  }
  const searchId = one(await db.selectFrom('saved_search').select('id').orderBy('id').execute())?.id ?? 'none'
  if (kind === 'searches.save')
    await call('searches.save', { name: word(value), filter: noFilter, sort: 'hue', group: 'candy', replace: true })
  if (kind === 'searches.rename') await call('searches.rename', { id: searchId, name: word(pick + 1) })
  if (kind === 'searches.remove') await call('searches.remove', { id: searchId })
  if (kind === 'history.restorePanel') {
    const changes = await db.selectFrom('change').select('id').orderBy('seq').execute()
    const then = { panelId: panel?.id ?? 'none', changeId: one(changes)?.id ?? 'none', keepLater: value % 3 === 0 }
    await call('history.restorePanel', then)
  }
  if (kind === 'setups.remove') await call('setups.remove', { setupId: setupId ?? 'none' })
}

/**
 * Not taken back: the history itself, its revision, the code that the rack gives next (it may stand on a label), and what was found
 * in photos, which is looked for again.
 */
const apart =
  /^(change|change_row|change_about|rack_event|rack_info|panel_doc|panel_words.*|panel_vocabulary|panel_row_due|photo_proposal|sqlite_.*)$/

/** Every row of every table, and the words that panels are found by; `panel_row` is what they are put in order by. */
export async function dumpAll({ db }: Rack): Promise<string> {
  const { rows } = await sql<{ name: string }>`select name from sqlite_schema where type = 'table'`.execute(db)
  const tables: Record<string, unknown> = {}
  for (const { name } of rows.filter((table) => !apart.test(table.name)))
    tables[name] = (await sql`select * from ${sql.table(name)} order by 1, 2`.execute(db)).rows
  const found = sql`select panel_doc.panel_id, panel_words.* from panel_words
    join panel_doc on panel_doc.doc = panel_words.rowid order by 1`
  const due = (await db.selectFrom('panel_row_due').selectAll().execute()).length
  return JSON.stringify({ tables, words: (await found.execute(db)).rows, due }, null, 1)
}
