import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import type { Output } from '../../shared-core/contract/calls.ts'
import type { Stage, View } from '../../shared-core/records/colour.ts'
import { noFilter, type Panel } from '../../shared-core/records/panel.ts'
import type { Reading } from '../../shared-core/records/reading.ts'
import { draft } from '../rack/fresh.ts'
import { layer } from '../rack/layers-typed.ts'
import { type BenchService, benchService } from './bench-service.ts'

const stages: Record<Stage, number> = { cured: 0, cleared: 0, dry: 1, wet: 2 }

/**
 * The reading that speaks for a step, worked out plainly from all of its readings: cleared or cured before dry before wet,
 * face before the others, then the newest; only what is D50 and 2°.
 */
function speaking(readings: readonly Reading[]): Reading | undefined {
  return readings
    .filter(({ illuminant, observer }) => illuminant === 'D50' && observer === '2')
    .toSorted(
      (one, other) =>
        stages[one.stage] - stages[other.stage] ||
        Number(one.view !== 'face') - Number(other.view !== 'face') ||
        (one.takenAt < other.takenAt ? 1 : one.takenAt > other.takenAt ? -1 : 0) ||
        (one.id < other.id ? 1 : -1),
    )[0]
}

const add = (
  service: BenchService,
  stepId: string,
  lab: [l: number, a: number, b: number],
  how: { view?: View; stage?: Stage; illuminant?: 'D50' | 'D65'; observer?: '2' | '10' } = {},
) =>
  service.call('readings.addTyped', {
    stepId,
    lab: { l: lab[0], a: lab[1], b: lab[2] },
    illuminant: how.illuminant ?? 'D50',
    observer: how.observer ?? '2',
    geometry: '45:0',
    bound90: 1.234,
    view: how.view ?? 'face',
    stage: how.stage ?? 'cleared',
    lightId: null,
  })

/** Panels with readings of every kind, in an order in which the right one is neither always first nor always last. */
async function hang(service: BenchService) {
  await service.call('rack.create', { folder: join(service.folder, 'rack'), name: 'Map' })
  const panels: Panel[] = []
  for (const ground of ['gold', 'silver', 'charcoal']) {
    const { panel } = await service.call('panels.save', {
      draft: draft({
        title: `On ${ground}`,
        layers: [layer('ground', ground), layer('clear', 'gloss', { coats: ground === 'silver' ? 0 : 2 })],
        steps: [0, 2, 4, 6].map((coats) => ({ id: null, coats, notes: '' })),
      }),
    })
    panels.push(panel)
  }
  const step = (panel: number, at: number) => panels[panel]!.steps[at]!.id!
  await add(service, step(0, 0), [60.126, 5, 40], { stage: 'wet' })
  await add(service, step(0, 0), [55, 6, 41], { stage: 'dry' })
  await add(service, step(0, 1), [50, 7, 42], { view: 'flop' })
  await add(service, step(0, 1), [45, 8, 43], { view: 'face', stage: 'dry' })
  await add(service, step(0, 2), [40, 9, 44], { view: 'near-glare' })
  await add(service, step(0, 2), [35, 10, -45])
  await add(service, step(0, 2), [34, 11, -46], { view: 'flop' })
  await add(service, step(1, 0), [90, 0, 0], { illuminant: 'D65' })
  await add(service, step(1, 1), [80, -20, 3], { observer: '10' })
  await add(service, step(1, 1), [81, -21, 4], { stage: 'dry' })
  await add(service, step(1, 3), [101.2, -21, 4])
  await add(service, step(1, 3), [100.4, -22, 5], { stage: 'cured' })
  return panels
}

/** What the map should hold, panel by panel as `panels.get` tells it. */
async function plainly(service: BenchService, panelIds: readonly string[]) {
  const rows = []
  for (const key of panelIds) {
    const { panel, readings } = await service.call('panels.get', { key })
    for (const { id, coats } of panel.steps) {
      const reading = speaking(readings.filter(({ stepId }) => stepId === id))
      if (reading) rows.push({ panel: panel.id, code: panel.code, title: panel.title, coats, ...reading.lab })
    }
  }
  return rows
}

const rowsOf = ({ panels, steps }: Output<'panels.colours'>) =>
  steps.panel.map((at, row) => ({
    panel: panels.ids[at]!,
    code: panels.codes[at]!,
    title: panels.titles[at]!,
    coats: steps.coats[row]!,
    l: steps.l[row]!,
    a: steps.a[row]!,
    b: steps.b[row]!,
  }))

const toHundredths = <R extends { l: number; a: number; b: number }>(row: R): R => ({
  ...row,
  l: Math.round(row.l * 100) / 100,
})

describe('colours for the map', () => {
  it('are those of the reading that speaks for each step, panels by age, steps as they lie', async () => {
    const service = await benchService()
    const panels = await hang(service)
    const answer = await service.call('panels.colours', { filter: noFilter })
    const wanted = await plainly(
      service,
      panels.map(({ id }) => id),
    )
    expect(rowsOf(answer)).toEqual(wanted.map(toHundredths))
    expect(wanted).toHaveLength(5)
    expect(answer.steps.bound90).toEqual(wanted.map(() => 1.23))
    // the third has no colour: it fits, and does not stand on the map
    expect(answer.panelCount).toBe(3)
    expect(answer.panels.ids).toEqual([panels[0]!.id, panels[1]!.id])
  })

  it('are those that the bands on the wall show', async () => {
    const service = await benchService()
    const panels = await hang(service)
    const answer = await service.call('panels.colours', { filter: noFilter })
    const { panels: summaries } = await service.call('panels.summaries', { ids: panels.map(({ id }) => id) })
    const bands = summaries.flatMap(({ id, bands: own }) =>
      own.flatMap(({ coats, lab }) => (lab ? [{ panel: id, coats, l: Math.round(lab.l * 100) / 100 }] : [])),
    )
    expect(rowsOf(answer).map(({ panel, coats, l }) => ({ panel, coats, l }))).toEqual(bands)
  })

  it('follow the filter, what is taken out, and undo', async () => {
    const service = await benchService()
    const [gold, silver] = await hang(service)
    const shown = async (filter: Partial<typeof noFilter>) => {
      const answer = await service.call('panels.colours', { filter: { ...noFilter, ...filter } })
      return { ids: answer.panels.ids, steps: answer.steps.l.length, count: answer.panelCount }
    }
    expect(await shown({ grounds: ['gold'] })).toEqual({ ids: [gold!.id], steps: 3, count: 1 })
    expect(await shown({ cleared: true })).toEqual({ ids: [gold!.id], steps: 3, count: 2 })
    expect(await shown({ words: 'charcoal' })).toEqual({ ids: [], steps: 0, count: 1 })
    await service.call('panels.remove', { panelId: gold!.id })
    expect(await shown({})).toEqual({ ids: [silver!.id], steps: 2, count: 2 })
    await service.call('history.undo', {})
    expect(await shown({})).toEqual({ ids: [gold!.id, silver!.id], steps: 5, count: 3 })
    const { readings } = await service.call('panels.get', { key: gold!.id })
    const best = speaking(readings.filter(({ stepId }) => stepId === gold!.steps[2]!.id))!
    await service.call('readings.remove', { readingId: best.id })
    const answer = await service.call('panels.colours', { filter: noFilter })
    expect(rowsOf(answer)).toEqual((await plainly(service, [gold!.id, silver!.id])).map(toHundredths))
  })
})
