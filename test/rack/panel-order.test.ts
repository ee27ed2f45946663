import fc from 'fast-check'
import { sql } from 'kysely'
import { expect, test } from 'vitest'
import type { Rack } from '../../electron/rack/opening/open.ts'
import { listPanels, listSummaries } from '../../electron/rack/queries/panel-list.ts'
import { removePanel } from '../../electron/rack/queries/panels.ts'
import { orderPanels } from '../../electron/rack/queries/wall/order.ts'
import { refreshRows } from '../../electron/rack/queries/wall/panel-rows.ts'
import { hueName } from '../../shared-core/colour/words.ts'
import { noFilter, type PanelFilter, PanelSort, type PanelSummary } from '../../shared-core/records/panel.ts'
import { PanelGroup } from '../../shared-core/records/wall.ts'
import { freshRack } from './fresh.ts'
import { dyes, grounds, type Sown, sow, tags } from './random-panels.ts'

const sown: fc.Arbitrary<Sown> = fc.record({
  code: fc.nat(40),
  ground: fc.nat(10),
  candy: fc.nat(10),
  day: fc.nat(20),
  lab: fc.option(
    fc.record({ l: fc.nat(100), a: fc.integer({ min: -60, max: 60 }), b: fc.integer({ min: -60, max: 60 }) }),
  ),
  status: fc.nat(5),
  tags: fc.nat(15),
})
const some = <T>(all: readonly T[]) => fc.option(fc.subarray([...all], { maxLength: 2 }), { freq: 1, nil: [] as T[] })
const filter: fc.Arbitrary<PanelFilter> = fc.record({
  words: fc.constant(''),
  grounds: some(grounds.filter((name) => name !== '')),
  candies: some(dyes.filter((name) => name !== '')),
  tags: some(tags),
  cleared: fc.constantFrom(null, null, false),
  status: fc.constantFrom(null, null, 'sprayed' as const, 'retired' as const),
})

// reference: the platform's collation (ECMA-402)
const text = new Intl.Collator('en', { numeric: true, sensitivity: 'base' }).compare
const fits = (panel: PanelSummary, asked: PanelFilter): boolean => {
  const among = (names: readonly string[], own: readonly (string | null)[]) =>
    names.length === 0 || names.some((name) => own.includes(name))
  return (
    among(asked.grounds, [panel.ground]) &&
    among(asked.candies, panel.candies) &&
    among(asked.tags, panel.tags) &&
    (asked.cleared === null || asked.cleared === panel.cleared) &&
    (asked.status === null || asked.status === panel.status)
  )
}

const deepest = ({ bands }: PanelSummary) =>
  bands.filter((band) => band.lab !== null).toSorted((a, b) => b.coats - a.coats)[0]?.lab ?? null
const hueOf = ({ a, b }: { a: number; b: number }) => ((Math.atan2(b, a) * 180) / Math.PI + 360) % 360
/** Red begins a quarter of the way back from unique red (20.14°) to unique blue (237.53°): CIE 159:2004, table 3. */
const fromRed = (hue: number) => (hue - (20.14 - (380.14 - 237.53) / 4) + 360) % 360
const isNeutral = ({ a, b }: { a: number; b: number }) => Math.hypot(a, b) < 5

/** What a plain sort in memory goes by; null comes last. */
const keys: Record<PanelSort, (panel: PanelSummary) => string | number | null> = {
  code: () => 0,
  ground: ({ ground }) => ground,
  candy: ({ candies }) => candies[0] ?? null,
  date: ({ sprayedOn }) => (sprayedOn === null ? null : -Number(sprayedOn.replaceAll('-', ''))),
  lightness: (panel) => deepest(panel)?.l ?? null,
  hue: (panel) => {
    const lab = deepest(panel)
    return lab && (isNeutral(lab) ? 1000 + lab.l : fromRed(hueOf(lab)))
  },
}
const compareKeys = (a: string | number, b: string | number): number =>
  typeof a === 'number' ? a - Number(b) : text(a, String(b))

const sorted = (panels: readonly PanelSummary[], sort: PanelSort) =>
  panels.toSorted((a, b) => {
    const [one, other] = [keys[sort](a), keys[sort](b)]
    if (one === null || other === null) return Number(one === null) - Number(other === null) || text(a.code, b.code)
    return compareKeys(one, other) || text(a.code, b.code)
  })

/** Name and place of a panel's group, thought out anew. */
const groupsOf: Record<PanelGroup, (panel: PanelSummary) => { name: string | null; at: string | number }> = {
  none: () => ({ name: null, at: 0 }),
  ground: ({ ground }) => ({ name: ground, at: ground ?? '' }),
  candy: ({ candies: [first] }) => ({ name: first ?? null, at: first ?? '' }),
  date: ({ sprayedOn }) => {
    if (sprayedOn === null) return { name: null, at: 0 }
    const month = new Intl.DateTimeFormat('en-GB', { month: 'long', year: 'numeric', timeZone: 'UTC' })
    return { name: month.format(new Date(sprayedOn)), at: -Number(sprayedOn.slice(0, 7).replace('-', '')) }
  },
  lightness: (panel) => {
    const lab = deepest(panel)
    if (!lab) return { name: null, at: 0 }
    const at = lab.l < 20 ? 0 : lab.l < 40 ? 1 : lab.l < 60 ? 2 : lab.l < 80 ? 3 : 4
    return { name: ['very dark', 'dark', 'half light', 'light', 'very light'][at] ?? '', at }
  },
  hue: (panel) => {
    const lab = deepest(panel)
    if (!lab) return { name: null, at: 0 }
    if (isNeutral(lab)) return { name: 'neutral', at: 8 }
    const name = hueName(hueOf(lab))
    return {
      name,
      at: ['red', 'orange', 'yellow', 'yellow-green', 'green', 'turquoise', 'blue', 'purple'].indexOf(name),
    }
  },
}

async function everything(rack: Rack): Promise<PanelSummary[]> {
  const ids = await rack.db.selectFrom('panel').select('id').where('deleted_at', 'is', null).execute()
  return listSummaries(
    rack.db,
    ids.map(({ id }) => id),
  )
}

test('panels hang as a plain sort in memory puts them, in groups and out of them, whatever the filter', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.array(sown, { minLength: 1, maxLength: 25 }),
      fc.array(filter, { minLength: 2, maxLength: 5 }),
      async (panels, filters) => {
        const rack = await freshRack()
        const ids = await sow(rack, panels)
        // one in the trash, which is nowhere
        await rack.change({ label: 'remove' }, (change) => removePanel(change, ids[0] ?? ''))
        const all = await everything(rack)
        for (const asked of [noFilter, ...filters]) {
          const fitting = all.filter((panel) => fits(panel, asked))
          for (const sort of PanelSort.options)
            for (const group of PanelGroup.options) {
              const answer = await orderPanels(rack.db, asked, sort, group)
              const own = new Map(fitting.map((panel) => [panel.id, groupsOf[group](panel)]))
              const expected = sorted(fitting, sort)
                .map((panel) => ({ panel, group: own.get(panel.id)! }))
                .toSorted((a, b) => {
                  if (group === 'none') return 0
                  if (a.group.name === null || b.group.name === null)
                    return Number(a.group.name === null) - Number(b.group.name === null)
                  return compareKeys(a.group.at, b.group.at)
                })
              expect(answer.ids).toEqual(expected.map(({ panel }) => panel.id))
              const names = expected.map((each) => each.group.name)
              const starts = names.flatMap((name, i) => (i === 0 || name !== names[i - 1] ? [i] : []))
              expect(answer.groups).toEqual(
                starts.map((from, i) => ({ name: names[from], from, count: (starts[i + 1] ?? names.length) - from })),
              )
              expect(answer.total).toBe(all.length)
            }
          const { panels: listed } = await listPanels(rack.db, asked, 'hue', 3)
          expect(listed).toEqual(sorted(fitting, 'hue').slice(0, 3))
        }
      },
    ),
    { numRuns: 8 },
  )
}, 60_000)

test('what panels are put in order by is true after every change, and after it was undone and done again', async () => {
  const rack = await freshRack()
  const [first = '', second = ''] = await sow(rack, [
    { code: 1, ground: 2, candy: 1, day: 3, lab: { l: 40, a: 30, b: 5 }, status: 0, tags: 1 },
    { code: 2, ground: 3, candy: 2, day: 4, lab: { l: 60, a: -30, b: 5 }, status: 0, tags: 2 },
  ])
  const kept = () => rack.db.selectFrom('panel_row').selectAll().orderBy('panel_id').execute()
  /** The rows as they would be if all were written anew now. */
  const anew = async () => {
    await sql`insert into panel_row_due select id from panel`.execute(rack.db)
    await refreshRows(rack.db)
    return kept()
  }
  const ground = (await rack.db.selectFrom('layer').selectAll().where('kind', '=', 'ground').execute())[0]!
  const step = (
    await rack.db.selectFrom('step').selectAll().where('panel_id', '=', first).where('coats', '=', 4).execute()
  )[0]!
  const dry = (
    await rack.db
      .selectFrom('reading')
      .selectAll()
      .where('step_id', '=', step.id)
      .where('stage', '=', 'dry')
      .where('illuminant', '=', 'D50')
      .execute()
  )[0]!
  const dye = (await rack.db.selectFrom('material').selectAll().where('name', '=', 'Damson').execute())[0]!
  const part = (await rack.db.selectFrom('mixture_part').selectAll().where('material_id', '=', dye.id).execute())[0]!
  const smoke = (await rack.db.selectFrom('material').selectAll().where('name', '=', 'smoke').execute())[0]!
  const changes: Array<[string, (change: Parameters<Parameters<Rack['change']>[1]>[0]) => Promise<unknown>]> = [
    ['the code', (change) => change.update('panel', first, { code: 'Z-9' })],
    ['the day', (change) => change.update('panel', first, { sprayed_on: null })],
    ['the ground', (change) => change.update('layer', ground.id, { name: 'lilac' })],
    ['another layer is the ground', (change) => change.update('layer', ground.id, { kind: 'sealer' })],
    [
      'a ground is put under it',
      (change) => change.insert('layer', { ...ground, id: 'new', position: -1, name: 'first' }),
    ],
    ['the dye', (change) => change.update('mixture_part', part.id, { material_id: smoke.id })],
    ["the dye's name", (change) => change.update('material', dye.id, { name: 'Plum' })],
    ['the dye is none', (change) => change.update('material', dye.id, { kind: 'other' })],
    ['the reading', (change) => change.update('reading', dry.id, { l: 12, a: -40 })],
    ['the reading is removed', (change) => change.update('reading', dry.id, { deleted_at: '2031-01-01' })],
    ['the reading is of another light', (change) => change.update('reading', dry.id, { illuminant: 'A' })],
    ['the step is the thinnest', (change) => change.update('step', step.id, { coats: 0.5 })],
    ['to the trash', (change) => change.update('panel', second, { deleted_at: '2031-01-01' })],
  ]
  for (const [what, change] of changes) {
    const before = await kept()
    await rack.change({ label: what }, change)
    const after = await kept()
    // told with what was changed, so that a failure names it
    expect({ what, rows: after }).not.toEqual({ what, rows: before })
    expect({ what, rows: await anew() }).toEqual({ what, rows: after })
    await rack.undo()
    expect({ what, rows: await kept() }).toEqual({ what, rows: before })
    await rack.redo()
    expect({ what, rows: await kept() }).toEqual({ what, rows: after })
    await rack.undo()
  }
})
