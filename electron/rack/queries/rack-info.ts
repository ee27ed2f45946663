import type { Kysely } from 'kysely'
import type { RackInfo } from '../../../shared-core/records/rack.ts'
import type { Tables } from '../tables.ts'
import { inTray } from './tray.ts'
import { countPanels } from './wall/order.ts'

/** `P-0042`. */
export const writtenCode = (number: number): string => `P-${String(number).padStart(4, '0')}`

/** The code that the rack gives next. */
export async function nextCode(db: Kysely<Tables>): Promise<string> {
  const { next_code } = await db.selectFrom('rack_info').select('next_code').executeTakeFirstOrThrow()
  for (let number = next_code; ; number++) {
    const code = writtenCode(number)
    const taken = await db.selectFrom('panel').select('id').where('code', '=', code).executeTakeFirst()
    if (!taken) return code
  }
}

/**
 * Notes that a code is given now. It is never given again, not even when the panel is undone or removed: by then it may
 * stand on a label. A code typed out of turn does not move the counting on.
 */
export async function giveCode(db: Kysely<Tables>, code: string): Promise<void> {
  if (code !== (await nextCode(db))) return
  await db
    .updateTable('rack_info')
    .set({ next_code: Number(code.slice(2)) + 1 })
    .execute()
}

const count = (row: { count: number | bigint | string }): number => Number(row.count)

/** What the records say of their rack; how it was opened is known where it was. */
export type RackFacts = Omit<RackInfo, 'access' | 'cautions' | 'keptInSync'>

export async function describeRack(db: Kysely<Tables>, folder: string): Promise<RackFacts> {
  const info = await db.selectFrom('rack_info').select(['name', 'revision']).executeTakeFirstOrThrow()
  const tray = await inTray(db)
    .select((e) => e.fn.countAll().as('count'))
    .executeTakeFirstOrThrow()
  const undo = await db
    .selectFrom('change')
    .select('label')
    .where('state', '=', 'done')
    .orderBy('seq', 'desc')
    .limit(1)
    .executeTakeFirst()
  const redo = await db
    .selectFrom('change')
    .select('label')
    .where('state', '=', 'undone')
    .orderBy('seq', 'asc')
    .limit(1)
    .executeTakeFirst()
  return {
    folder,
    name: info.name,
    panelCount: await countPanels(db),
    trayCount: count(tray),
    revision: info.revision,
    undo: undo?.label ?? null,
    redo: redo?.label ?? null,
  }
}
