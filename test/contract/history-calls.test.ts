import { join } from 'node:path'
import { CompiledQuery } from 'kysely'
import { expect, test } from 'vitest'
import { fillAbout } from '../../electron/rack/migrations/0006-history.ts'
import type { HistoryEntry, ThingChanged } from '../../shared-core/records/history.ts'
import type { PanelDraft } from '../../shared-core/records/panel.ts'
import { draft, workFolder } from '../rack/fresh.ts'
import { candyMixture, layer } from '../rack/layers-typed.ts'
import { type BenchService, benchService } from './bench-service.ts'
import { layoutFor, noHelp, panelPhoto } from './panel-photo.ts'

/** The history as it is read, and panels that are brought back from it. */

const desk = workFolder()

async function shop(painter = 'Wren'): Promise<BenchService> {
  const service = await benchService()
  await service.call('rack.create', { folder: join(service.folder, 'rack'), name: 'Past' })
  await signs(service, painter)
  return service
}

async function signs({ call }: BenchService, painter: string): Promise<void> {
  const { settings } = await call('settings.get', {})
  await call('settings.save', { settings: { ...settings, painter } })
}

const add = async ({ call }: BenchService, more: Partial<PanelDraft> = {}) =>
  (await call('panels.save', { draft: draft(more) })).panel

async function edit({ call }: BenchService, key: string, alter: (old: PanelDraft) => PanelDraft) {
  const { panel } = await call('panels.get', { key })
  return (await call('panels.save', { draft: alter(panel) })).panel
}

const entriesOf = async ({ call }: BenchService, panelId: string | null = null) =>
  (await call('history.list', { panelId, limit: 500 })).entries

const typed = {
  lab: { l: 40, a: 10, b: -5 },
  illuminant: 'D50',
  observer: '2',
  geometry: '45:0',
  bound90: 0.8,
  view: 'face',
  stage: 'dry',
  lightId: null,
} as const

async function filed(
  service: BenchService,
  panelId: string,
  stepId: string,
): Promise<{ photoId: string; name: string }> {
  const name = `photo-${panelId.slice(-4)}.png`
  const path = await panelPhoto(join(desk, name), Number.parseInt(panelId.slice(-4), 16) + 1)
  const { jobId } = await service.call('photos.takeIn', { files: [{ path, name }] })
  await service.ended(jobId)
  const { photos } = await service.call('photos.listTray', {})
  const photoId = photos.find((photo) => photo.name === name)?.id ?? 'none'
  const face = { lightId: null, view: 'face', stage: 'dry', ...noHelp } as const
  await service.call('photos.file', { photoId, panelId, layout: layoutFor(stepId), ...face, ageDays: null })
  return { photoId, name }
}

test('every change is listed once, page by page, with who and when, and what was undone by whom', async () => {
  const service = await shop()
  for (let i = 0; i < 7; i++) await add(service, { title: `panel ${i}` })
  await signs(service, 'Robin')
  await service.call('lights.add', { name: 'north window', kelvin: null })
  await service.call('history.undo', {})
  const all = await entriesOf(service)
  expect(all.map(({ label }) => label)).toEqual([
    'add light north window',
    ...Array.from({ length: 7 }, (_, i) => `add panel P-000${7 - i}`),
    'made this rack',
  ])
  expect(all[0]).toMatchObject({ who: 'Robin', undone: true, leftBehind: false, undoneBy: 'Robin' })
  expect(all.at(-1)).toMatchObject({ kind: 'event', panel: null })
  expect(all[1]).toMatchObject({ who: 'Wren', undone: false, undoneAt: null, panel: { code: 'P-0007', where: 'rack' } })
  const paged: HistoryEntry[] = []
  let before: string | null = null
  do {
    const page: { entries: HistoryEntry[]; next: string | null } = await service.call('history.list', {
      panelId: null,
      before,
      limit: 2,
    })
    paged.push(...page.entries)
    before = page.next
  } while (before !== null)
  expect(paged).toEqual(all)
  expect((await service.call('history.listPainters', {})).painters).toEqual(['Robin', 'Wren'])
  const { entries } = await service.call('history.list', { panelId: null, who: 'Robin', limit: 50 })
  expect(entries.map(({ label }) => label)).toEqual(['add light north window'])
})

test('a change of many panels stands in the history of each, and of no other', async () => {
  const service = await shop()
  const panels = [await add(service), await add(service), await add(service)]
  const [one, two, three] = panels.map(({ id }) => id)
  await service.call('panels.changeMany', { panelIds: [one ?? '', two ?? ''], change: { addTags: ['boat'] } })
  expect((await entriesOf(service, one)).map(({ label }) => label)).toEqual(['tag 2 panels', 'add panel P-0001'])
  expect((await entriesOf(service, three)).map(({ label }) => label)).toEqual(['add panel P-0003'])
})

/** "Layer 2, candy: Coats 4 → 5". */
const inShort = (things: readonly ThingChanged[]): string[] =>
  things.flatMap(({ what, name, groups }) =>
    groups.flatMap((group) =>
      group.facts.map(
        (fact) =>
          `${what} ${name} | ${group.name} | ${fact.name}: ${JSON.stringify(fact.before)} → ${JSON.stringify(fact.after)}`,
      ),
    ),
  )

test('a change is told field by field, in words, with what stood there before', async () => {
  const service = await shop()
  const panel = await add(service)
  const gunSetup = {
    id: null,
    name: 'small gun',
    gun: 'HVLP',
    tipMm: 1.2,
    inletKpa: 110,
    capKpa: null,
    distanceMm: 150,
    overlapPercent: null,
  }
  await edit(service, panel.code, (old) => ({
    ...old,
    title: 'Teal dusk',
    layers: old.layers.map((each) => (each.kind === 'candy' ? { ...each, coats: 5, gunSetup } : each)),
    steps: old.steps.slice(0, 1),
  }))
  const [entry] = await entriesOf(service, panel.id)
  expect(entry).toMatchObject({
    label: 'change panel P-0001',
    brief: 'title, coats of the candy, gun set-up, a step less',
  })
  const { things, more } = await service.call('history.describe', { changeId: entry?.id ?? '' })
  expect(more).toBe(0)
  expect(inShort(things)).toEqual([
    'Panel P-0001 Teal dusk | Panel | Title: {"kind":"text","text":"Teal over gold"} → {"kind":"text","text":"Teal dusk"}',
    'Panel P-0001 Teal dusk | Layer 2, candy | Coats: {"kind":"coats","coats":4} → {"kind":"coats","coats":5}',
    'Panel P-0001 Teal dusk | Layer 2, candy | Gun set-up: null → {"kind":"text","text":"small gun"}',
    'Panel P-0001 Teal dusk | Layer 2, candy | Gun: null → {"kind":"text","text":"HVLP"}',
    'Panel P-0001 Teal dusk | Layer 2, candy | Tip: null → {"kind":"quantity","value":1.2,"measure":"tip"}',
    'Panel P-0001 Teal dusk | Layer 2, candy | Inlet, trigger pulled: null → {"kind":"quantity","value":110,"measure":"pressure"}',
    'Panel P-0001 Teal dusk | Layer 2, candy | Distance: null → {"kind":"quantity","value":150,"measure":"distance"}',
    'Panel P-0001 Teal dusk | Step 2, 4 coats | Coats: {"kind":"coats","coats":4} → null',
  ])
  expect(things[0]?.groups.at(-1)?.did).toBe('removed')
})

test('no name of a table or column is told, whatever was changed', async () => {
  const service = await shop()
  const panel = await add(service)
  await filed(service, panel.id, panel.steps[0]?.id ?? '')
  await service.call('references.addTyped', { ...typed, name: 'chip' })
  await service.call('lights.add', { name: 'north window', kelvin: 6500 })
  await service.call('materials.setOnShelf', {
    materialIds: (await service.call('materials.list', {})).materials.map(({ id }) => id),
    onShelf: false,
  })
  const told: string[] = []
  for (const { id } of await entriesOf(service)) {
    const { things } = await service.call('history.describe', { changeId: id })
    told.push(
      ...things.flatMap(({ what, groups }) => [
        what,
        ...groups.flatMap(({ name, facts }) => [name, ...facts.map((fact) => fact.name)]),
      ]),
    )
  }
  expect(told.length).toBeGreaterThan(40)
  expect(told.filter((name) => /_|[a-z][A-Z]|\bid\b/.test(name))).toEqual([])
})

test('a panel in the trash is found, and comes back as it was; undo puts it there again', async () => {
  const service = await shop()
  const panel = await add(service, { title: 'Damson' })
  await service.call('readings.addTyped', { ...typed, stepId: panel.steps[0]?.id ?? '' })
  const before = await service.call('panels.get', { key: panel.id })
  await service.call('panels.remove', { panelId: panel.id })
  expect((await service.call('history.findPanels', { words: '' })).panels).toEqual([
    { id: panel.id, code: 'P-0001', title: 'Damson', where: 'trash' },
  ])
  const [removed, read] = await entriesOf(service, panel.id)
  const inTrash = { panelId: panel.id, changeId: removed?.id ?? '', keepLater: true }
  expect(await service.call('history.panelAt', inTrash)).toMatchObject({ hindrance: 'P-0001 was in the trash then.' })
  expect(await service.refusal('history.restorePanel', inTrash)).toMatchObject({ code: 'history/not-there' })
  const answer = await service.call('history.restorePanel', { ...inTrash, changeId: read?.id ?? '' })
  expect(answer).toMatchObject({ code: 'P-0001', notes: [] })
  expect(await service.call('panels.get', { key: panel.id })).toEqual(before)
  expect(await service.call('history.undo', {})).toEqual({ label: 'restore panel P-0001' })
  expect(await service.refusal('panels.get', { key: panel.id })).toMatchObject({ code: 'panel/absent' })
})

test('a panel whose making was undone and left behind comes back, with a code of its own and its materials', async () => {
  const service = await shop()
  const panel = await add(service, { title: 'Lost', code: 'A-1' })
  const { past } = await service.call('history.panelAt', {
    panelId: panel.id,
    changeId: (await entriesOf(service, panel.id))[0]?.id ?? '',
    keepLater: false,
  })
  await service.call('history.undo', {})
  await add(service, { title: 'Other', code: 'A-1', layers: [layer('ground', 'gold')] })
  expect((await service.call('history.findPanels', { words: 'lost' })).panels).toMatchObject([{ where: 'gone' }])
  expect((await service.call('history.namePanel', { key: panel.id })).panel.title).toBe('Lost')
  const [made] = await entriesOf(service, panel.id)
  expect(made).toMatchObject({ undone: true, leftBehind: true })
  const answer = await service.call('history.restorePanel', {
    panelId: panel.id,
    changeId: made?.id ?? '',
    keepLater: false,
  })
  expect(answer.code).toBe('P-0001')
  expect(answer.notes).toEqual([
    'Removed from the shelf, and back on its list as used up: clear carrier, copper, crimson.',
    'A-1 is the code of another panel now: this one has P-0001.',
  ])
  const back = (await service.call('panels.get', { key: panel.id })).panel
  expect(back).toEqual({ ...past?.panel, code: 'P-0001' })
  const { materials } = await service.call('materials.list', {})
  expect(materials.map(({ name, onShelf }) => [name, onShelf])).toEqual([
    ['clear carrier', false],
    ['copper', false],
    ['crimson', false],
  ])
})

test('what came later stays when it is asked to, and goes when not', async () => {
  const service = await shop()
  const panel = await add(service)
  await edit(service, panel.code, (old) => ({
    ...old,
    title: 'later',
    layers: old.layers.map((each) => ({ ...each, mixture: each.mixture && candyMixture('copper', 'teal') })),
    steps: [...old.steps, { id: null, coats: 6, notes: '' }],
  }))
  const grown = (await service.call('panels.get', { key: panel.id })).panel
  await service.call('readings.addTyped', { ...typed, stepId: grown.steps[2]?.id ?? '' })
  const photo = await filed(service, panel.id, grown.steps[0]?.id ?? '')
  const made = (await entriesOf(service, panel.id)).at(-1)?.id ?? ''
  const keeping = { panelId: panel.id, changeId: made, keepLater: true }
  const kept = await service.call('history.restorePanel', keeping)
  expect(kept.notes).toEqual(['The step of 6 coats stays: it has readings that came later.'])
  const now = await service.call('panels.get', { key: panel.id })
  expect(now.panel.title).toBe('Teal over gold')
  expect(now.panel.layers).toEqual(panel.layers)
  expect(now.panel.steps.map(({ coats }) => coats)).toEqual([2, 4, 6])
  expect([now.readings.length, now.photos.length]).toEqual([2, 1])
  expect(await service.refusal('history.restorePanel', keeping)).toMatchObject({ code: 'history/same' })
  const bare = await service.call('history.restorePanel', { ...keeping, keepLater: false })
  expect(bare.notes).toEqual([`${photo.name} was filed later: it goes back to the tray.`])
  const then = await service.call('panels.get', { key: panel.id })
  expect(then.panel).toEqual(panel)
  expect([then.readings.length, then.photos.length]).toEqual([0, 0])
  expect((await service.call('photos.listTray', {})).photos.map(({ name }) => name)).toEqual([photo.name])
  for (let i = 0; i < 2; i++) await service.call('history.undo', {})
  expect((await service.call('panels.get', { key: panel.id })).panel).toEqual(grown)
})

test('a photo that is another panel’s by now stays there, and it is said', async () => {
  const service = await shop()
  const [one, two] = [await add(service), await add(service)]
  const { photoId, name } = await filed(service, one.id, one.steps[0]?.id ?? '')
  const [filing] = await entriesOf(service, one.id)
  await service.call('history.undo', {})
  const face = { lightId: null, view: 'face', stage: 'dry', ...noHelp } as const
  const layout = layoutFor(two.steps[0]?.id ?? '')
  await service.call('photos.file', { photoId, panelId: two.id, layout, ...face, ageDays: null })
  await service.call('panels.changeMany', { panelIds: [one.id], change: { addTags: ['boat'] } })
  const before = await service.call('panels.get', { key: two.id })
  const answer = await service.call('history.restorePanel', {
    panelId: one.id,
    changeId: filing?.id ?? '',
    keepLater: false,
  })
  expect(answer.notes).toEqual([
    `${name} is filed with P-0002 now and stays there: neither it nor its readings come back.`,
  ])
  expect(await service.call('panels.get', { key: two.id })).toEqual(before)
  expect((await service.call('panels.get', { key: one.id })).readings).toEqual([])
})

test('what a material is called now is said, and the shelf stays as it is', async () => {
  const service = await shop()
  const panel = await add(service)
  await edit(service, panel.code, (old) => ({ ...old, title: 'later' }))
  const { materials } = await service.call('materials.list', {})
  const copper = materials.find(({ name }) => name === 'copper')
  if (!copper) throw new Error('no copper on the shelf')
  const { onHand: _, dataSheetFile: __, replacedById: ___, ...said } = copper
  await service.call('shelf.save', { material: { ...said, name: 'copper dusk' } })
  const changeId = (await entriesOf(service, panel.id)).at(-1)?.id ?? ''
  const shown = await service.call('history.panelAt', { panelId: panel.id, changeId, keepLater: true })
  expect(JSON.stringify(shown.past?.panel.layers)).toContain('"copper"')
  expect(shown.notes).toEqual(['copper is called copper dusk now, and stays so.'])
  await service.call('history.restorePanel', { panelId: panel.id, changeId, keepLater: true })
  expect(JSON.stringify((await service.call('panels.get', { key: panel.id })).panel.layers)).toContain('"copper dusk"')
})

test('undo of what was altered behind the history’s back says so, and the past of such a panel is not made up', async () => {
  const service = await shop()
  const panel = await add(service)
  await edit(service, panel.code, (old) => ({ ...old, title: 'second' }))
  const { db } = service.context.rack()
  await db.updateTable('panel').set({ title: 'by other means' }).execute()
  expect(await service.refusal('history.undo', {})).toMatchObject({ code: 'history/conflict' })
  const changeId = (await entriesOf(service, panel.id)).at(-1)?.id ?? ''
  const asked = { panelId: panel.id, changeId, keepLater: true }
  expect(await service.refusal('history.panelAt', asked)).toMatchObject({ code: 'history/unknown' })
  expect(await service.refusal('history.restorePanel', asked)).toMatchObject({ code: 'history/unknown' })
  expect((await service.call('panels.get', { key: panel.id })).panel.title).toBe('by other means')
})

test('what the migration finds changes to be about is what this version notes', async () => {
  const service = await shop()
  const panel = await add(service)
  await edit(service, panel.code, (old) => ({ ...old, layers: old.layers.slice(0, 1), steps: old.steps.slice(1) }))
  await filed(service, panel.id, panel.steps[1]?.id ?? '')
  await service.call('history.undo', {})
  await add(service)
  const { db } = service.context.rack()
  const notes = () => db.selectFrom('change_about').selectAll().orderBy('change_seq').orderBy('row_seq').execute()
  const noted = await notes()
  expect(noted.length).toBeGreaterThan(40)
  await db.deleteFrom('change_about').execute()
  for (const statement of fillAbout) await db.executeQuery(CompiledQuery.raw(statement))
  expect(await notes()).toEqual(noted)
})

test('a history that is forgotten leaves nothing of it behind', async () => {
  const service = await shop()
  const panel = await add(service)
  await service.context.rack().forgetHistory()
  const renamed = await edit(service, panel.code, (old) => ({ ...old, title: 'first change of a new history' }))
  const entries = await entriesOf(service, panel.id)
  expect(entries.map(({ label }) => label)).toEqual(['change panel P-0001'])
  const { past } = await service.call('history.panelAt', {
    panelId: panel.id,
    changeId: entries[0]?.id ?? '',
    keepLater: true,
  })
  expect(past?.panel).toEqual(renamed)
})

test('a panel that has no other entry than its removal comes back as it stood before it', async () => {
  const service = await shop()
  const panel = await add(service, { title: 'Damson' })
  await service.call('readings.addTyped', { ...typed, stepId: panel.steps[0]?.id ?? '' })
  // as those of a demonstration rack: nothing is written down of how it came to be
  const { db } = service.context.rack()
  for (const statement of ['delete from change_row', 'delete from change_about', 'delete from change'])
    await db.executeQuery(CompiledQuery.raw(statement))
  const before = await service.call('panels.get', { key: panel.id })
  expect(await service.call('history.namePanel', { key: panel.id })).toMatchObject({ removal: null })
  await service.call('panels.remove', { panelId: panel.id })
  const [removal, ...others] = await entriesOf(service, panel.id)
  expect(others).toEqual([])
  expect(await service.call('history.namePanel', { key: panel.id })).toMatchObject({
    panel: { where: 'trash' },
    removal: removal?.id,
  })
  const then = { panelId: panel.id, changeId: removal?.id ?? '', keepLater: true }
  expect(await service.refusal('history.restorePanel', then)).toMatchObject({ code: 'history/not-there' })
  const shown = await service.call('history.panelAt', { ...then, before: true })
  expect(shown).toMatchObject({ past: { inTrash: false, panel: { title: 'Damson' } }, hindrance: null, differs: true })
  await service.call('history.restorePanel', { ...then, before: true })
  expect(await service.call('panels.get', { key: panel.id })).toEqual(before)
  expect(await service.call('history.namePanel', { key: panel.id })).toMatchObject({ removal: null })
  await service.call('history.undo', {})
  expect(await service.call('history.namePanel', { key: panel.id })).toMatchObject({ removal: removal?.id })
})

test('the state before the first entry can be looked at and restored; before its making a panel was not there', async () => {
  const service = await shop()
  const panel = await add(service, { title: 'Damson' })
  const [made] = await entriesOf(service, panel.id)
  const ofMaking = { panelId: panel.id, changeId: made?.id ?? '', before: true, keepLater: true }
  expect(await service.call('history.panelAt', ofMaking)).toMatchObject({
    past: null,
    hindrance: 'P-0001 was not there then.',
  })
  const { db } = service.context.rack()
  for (const statement of ['delete from change_row', 'delete from change_about', 'delete from change'])
    await db.executeQuery(CompiledQuery.raw(statement))
  await edit(service, panel.id, (old) => ({ ...old, title: 'Sloe', notes: 'redder' }))
  const [changed] = await entriesOf(service, panel.id)
  const then = { panelId: panel.id, changeId: changed?.id ?? '', before: true, keepLater: true }
  expect((await service.call('history.panelAt', then)).past?.panel).toMatchObject({ title: 'Damson', notes: '' })
  await service.call('history.restorePanel', then)
  expect((await service.call('panels.get', { key: panel.id })).panel).toMatchObject({ title: 'Damson', notes: '' })
})
