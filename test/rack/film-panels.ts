import { expect } from 'vitest'
import type { Rack } from '../../electron/rack/opening/open.ts'
import { readFilmRack } from '../../electron/rack/queries/film-observations.ts'
import { savePanel } from '../../electron/rack/queries/panels.ts'
import { addReading } from '../../electron/rack/queries/readings.ts'
import type { Mixture, Part } from '../../shared-core/records/mixture.ts'
import type { Layer, PanelDraft } from '../../shared-core/records/panel.ts'
import type { Reading } from '../../shared-core/records/reading.ts'
import { draft, freshRack } from './fresh.ts'
import { layer } from './layers-typed.ts'

/** Panels with readings for what the film model is told. */

let count = 0
export const reading = (stepId: string, more: Partial<Reading> = {}): Reading => ({
  id: `reading-${String(++count).padStart(4, '0')}`,
  stepId,
  referenceId: null,
  photoId: null,
  areaId: null,
  lab: { l: 40, a: 10, b: -5 },
  illuminant: 'D50',
  observer: '2',
  geometry: '45:0',
  level: 'instrument',
  bound90: 1.57,
  parts: [],
  cautions: [],
  cut: null,
  lightId: null,
  view: 'face',
  stage: 'cleared',
  ageDays: null,
  takenAt: '2024-06-01T10:00:00.000Z',
  ...more,
})

export async function hang(
  rack: Rack,
  more: Partial<PanelDraft> = {},
  readings: (stepIds: string[]) => Reading[] = (ids) => ids.map((id) => reading(id)),
) {
  return rack.change({ label: 'hang' }, async (change) => {
    const id = await savePanel(change, draft(more))
    const steps = await change.db
      .selectFrom('step')
      .select('id')
      .where('panel_id', '=', id)
      .orderBy('position')
      .execute()
    for (const each of readings(steps.map((step) => step.id))) await addReading(change, each)
    return id
  })
}
/** Why steps of one panel are left out; the others are there. */
export const whyLeftOut = async (layers: Layer[], more: Partial<PanelDraft> = {}): Promise<string[]> => {
  const rack = await freshRack()
  await hang(rack, { layers, ...more })
  const { leftOut, library } = await rack.read(readFilmRack)
  expect(leftOut.length + library.observations.length).toBe((more.steps ?? draft().steps).length)
  return leftOut.map(({ why }) => why)
}
export const of = (
  amount: number,
  name: string,
  kind: NonNullable<Part['material']>['kind'],
  unit: Part['unit'] = 'parts',
): Part => ({
  amount,
  unit,
  material: { id: null, name, kind },
  mixture: null,
})
export const mixed = (basis: Mixture['basis'], ...parts: Part[]): Mixture => ({ name: '', basis, parts })
export const crimson = (coats = 4): Layer =>
  layer('candy', '', { coats, mixture: mixed('volume', of(1, 'crimson', 'concentrate'), of(6, 'carrier', 'carrier')) })
export const gold = layer('ground', 'gold')
export const steps = (...coats: number[]): PanelDraft['steps'] =>
  coats.map((each) => ({ id: null, coats: each, notes: '' }))
