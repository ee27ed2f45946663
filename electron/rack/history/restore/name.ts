import type { Kysely } from 'kysely'
import { namePanels } from '../../queries/history-panels.ts'
import { panelAbsent } from '../../queries/panels.ts'
import type { Tables } from '../../tables.ts'

/** What a panel is called, wherever it is now. @throws Refusal `panel/absent` for one that never was */
export async function panelCode(db: Kysely<Tables>, panelId: string): Promise<string> {
  const named = (await namePanels(db, [panelId])).get(panelId)
  if (!named) throw panelAbsent()
  return named.code
}
