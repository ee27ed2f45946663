import { type Kysely, sql } from 'kysely'
import type { Output } from '../../../shared-core/contract/calls.ts'
import type { PanelFilter } from '../../../shared-core/records/panel.ts'
import type { Tables } from '../tables.ts'
import { filteredPanels } from './panel-filter.ts'
import { stageOrder, viewOrder } from './panel-list.ts'

/** Finer than any reading is sure of, and half as long to send. */
const toHundredths = (value: number): number => Math.round(value * 100) / 100

/**
 * The colours of all steps of the panels that fit, each of the reading that its band on the wall shows: cleared or cured
 * before dry before wet, face first, newest; D50 and 2° only. Two queries, whatever the rack's size.
 */
export async function readMapColours(db: Kysely<Tables>, filter: PanelFilter): Promise<Output<'panels.colours'>> {
  const { panels: fitting } = await filteredPanels(db, filter)
  const panels = await fitting
    .select(['panel.id', 'panel.code', 'panel.title'])
    .orderBy('panel.created_at')
    .orderBy('panel.id')
    .execute()
  const readings = db
    .selectFrom('reading')
    .innerJoin('step', 'step.id', 'reading.step_id')
    .select(['step.panel_id', 'step.position', 'step.coats', 'reading.l', 'reading.a', 'reading.b', 'reading.bound90'])
    .select(
      sql<number>`row_number() over (partition by reading.step_id
        order by ${stageOrder}, ${viewOrder}, reading.taken_at desc, reading.id desc)`.as('place'),
    )
    .where('reading.step_id', 'is not', null)
    .where('step.panel_id', 'in', fitting.select('panel.id'))
    .where('reading.deleted_at', 'is', null)
    .where('reading.illuminant', '=', 'D50')
    .where('reading.observer', '=', '2')
  const rows = await db
    .selectFrom(readings.as('best'))
    .select(['panel_id', 'position', 'coats', 'l', 'a', 'b', 'bound90'])
    .where('place', '=', 1)
    .execute()
  const byPanel = Map.groupBy(rows, (row) => row.panel_id)
  const coloured = panels.filter(({ id }) => byPanel.has(id))
  const steps: Output<'panels.colours'>['steps'] = { panel: [], coats: [], l: [], a: [], b: [], bound90: [] }
  for (const [at, { id }] of coloured.entries()) {
    for (const row of (byPanel.get(id) ?? []).toSorted((one, other) => one.position - other.position)) {
      steps.panel.push(at)
      steps.coats.push(row.coats)
      steps.l.push(toHundredths(row.l))
      steps.a.push(toHundredths(row.a))
      steps.b.push(toHundredths(row.b))
      steps.bound90.push(toHundredths(row.bound90))
    }
  }
  return {
    panels: {
      ids: coloured.map(({ id }) => id),
      codes: coloured.map(({ code }) => code),
      titles: coloured.map(({ title }) => title),
    },
    steps,
    panelCount: panels.length,
  }
}
