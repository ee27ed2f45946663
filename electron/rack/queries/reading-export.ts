import type { Kysely } from 'kysely'
import type { PanelFilter } from '../../../shared-core/records/panel.ts'
import type { Reading } from '../../../shared-core/records/reading.ts'
import type { Tables } from '../tables.ts'
import { among } from './among.ts'
import { filteredPanels } from './panel-filter.ts'
import { panelAbsent } from './panels.ts'
import { asReading } from './readings.ts'

/** Panels of live steps, by step. A step that is not in the rack is not in the map. */
export async function panelsOfSteps(db: Kysely<Tables>, stepIds: readonly string[]): Promise<Map<string, string>> {
  const rows = await db
    .selectFrom('step')
    .innerJoin('panel', 'panel.id', 'step.panel_id')
    .select(['step.id', 'step.panel_id'])
    .where('step.id', 'in', among(stepIds))
    .where('panel.deleted_at', 'is', null)
    .execute()
  return new Map(rows.map((row) => [row.id, row.panel_id]))
}

export type ReadingOfPanel = { panelId: string; code: string; title: string; coats: number; reading: Reading }

/**
 * Readings of panels with what names them: by panel, step and time.
 * @throws Refusal `panel/absent` when a panel asked for by id is not there
 */
export async function readingsOfPanels(
  db: Kysely<Tables>,
  of: { kind: 'panels'; panelIds: readonly string[] } | { kind: 'filter'; filter: PanelFilter },
): Promise<ReadingOfPanel[]> {
  const wanted =
    of.kind === 'panels'
      ? db.selectFrom('panel').where('panel.deleted_at', 'is', null).where('panel.id', 'in', among(of.panelIds))
      : (await filteredPanels(db, of.filter)).panels
  if (of.kind === 'panels') {
    const present = await wanted.select('panel.id').execute()
    if (present.length < new Set(of.panelIds).size) throw panelAbsent()
  }
  const rows = await db
    .selectFrom('reading')
    .innerJoin('step', 'step.id', 'reading.step_id')
    .innerJoin('panel', 'panel.id', 'step.panel_id')
    .selectAll('reading')
    .select(['panel.id as panel_id', 'panel.code', 'panel.title', 'step.coats'])
    .where('panel.id', 'in', wanted.select('panel.id'))
    .where('reading.deleted_at', 'is', null)
    .orderBy('panel.code')
    .orderBy('panel.id')
    .orderBy('step.position')
    .orderBy('reading.taken_at')
    .orderBy('reading.id')
    .execute()
  return rows.map((row) => ({
    panelId: row.panel_id,
    code: row.code,
    title: row.title,
    coats: row.coats,
    reading: asReading(row),
  }))
}
