import type { Kysely } from 'kysely'
import type { FactGroup, PanelStood } from '../../../../shared-core/records/history.ts'
import type { Tables } from '../../tables.ts'
import { panelCode } from '../restore/name.ts'
import { hindranceOf, planRestore } from '../restore/plan.ts'
import { comparePanels } from '../tell/panel-facts.ts'
import { routeFor } from './route.ts'
import { asStood, panelRowsAt, panelRowsNow } from './stood.ts'

/** `before`: as it stood before the change in place of after it. */
export type Then = { panelId: string; changeId: string; before?: boolean | undefined; keepLater: boolean }

export type PanelAt = {
  past: PanelStood | null
  now: PanelStood | null
  groups: FactGroup[]
  differs: boolean
  notes: string[]
  hindrance: string | null
}

/**
 * A panel as it stood after a change or before it, beside how it stands now, and what restoring it would do.
 * @throws Refusal `panel/absent`, `history/absent`, `history/unknown`
 */
export async function panelAt(db: Kysely<Tables>, { panelId, keepLater, ...then }: Then): Promise<PanelAt> {
  const code = await panelCode(db, panelId)
  const pastRows = await panelRowsAt(db, panelId, await routeFor(db, then))
  const nowRows = await panelRowsNow(db, panelId)
  const past = asStood(pastRows)
  const now = asStood(nowRows)
  const groups = comparePanels(past, now)
  const hindrance = hindranceOf(pastRows, code)
  const plan = hindrance === null ? await planRestore(db, pastRows, nowRows, keepLater) : null
  return {
    past,
    now,
    groups,
    differs: plan !== null && plan.alterations.length > 0,
    notes: plan?.notes ?? [],
    hindrance,
  }
}
