import type { Kysely } from 'kysely'
import { nextCode } from '../../queries/rack-info.ts'
import type { PanelRow, StepRow, Tables, TrackedTable } from '../../tables.ts'
import type { PanelRows } from '../past/stood.ts'
import type { Row } from '../rows.ts'
import { planPhotos } from './photos.ts'
import { planReadings } from './readings.ts'
import { planShelf } from './shelf.ts'

/** One row that restoring alters, as it then is; null: it goes. */
export type Alteration = { table: TrackedTable; id: string; to: Row | null }

/** What restoring does, in the words of `notes` where it is not simply how it stood. */
export type Plan = { alterations: Alteration[]; notes: string[]; code: string }

export type Planning = {
  db: Kysely<Tables>
  past: PanelRows
  now: PanelRows
  keepLater: boolean
  alterations: Alteration[]
  notes: string[]
}

/** Why a panel cannot be brought back to how it stood, or null. */
export function hindranceOf(past: PanelRows, code: string): string | null {
  const panel = past.own.get('panel', past.panelId)
  if (!panel) return `${code} was not there then.`
  if (panel.deleted_at !== null) return `${code} was in the trash then.`
  return null
}

/**
 * What brings a panel from how it is to how it stood. Nothing is altered here, so that it can be said beforehand.
 * @param keepLater  readings and photos that came later stay
 */
export async function planRestore(
  db: Kysely<Tables>,
  past: PanelRows,
  now: PanelRows,
  keepLater: boolean,
): Promise<Plan> {
  const planning: Planning = { db, past, now, keepLater, alterations: [], notes: [] }
  const panel = past.own.get('panel', past.panelId)
  if (!panel) throw new Error('A panel that was not there cannot be planned')
  const materials = await planShelf(planning)
  const photos = await planPhotos(planning)
  const code = await planPanel(planning, panel)
  planLayers(planning, materials)
  await planReadings(planning, photos, stepsThatStay(planning))
  return { alterations: planning.alterations.filter((each) => alters(planning, each)), notes: planning.notes, code }
}

/** Whether it says anything else than what is there; of what is not the panel's own, it always does. */
function alters({ now }: Planning, { table, id, to }: Alteration): boolean {
  const row = (now.own.get(table, id) ?? now.shared.get(table, id)) as Row | undefined
  if (!row) return to !== null
  return to === null || Object.entries(to).some(([name, value]) => row[name] !== value)
}

/** @returns the code that it then has */
async function planPanel({ db, now, notes, alterations }: Planning, panel: PanelRow): Promise<string> {
  const here = now.own.get('panel', panel.id)
  const code = await freeCode(db, panel, here ?? null)
  if (code !== panel.code) notes.push(`${panel.code} is the code of another panel now: this one has ${code}.`)
  alterations.push({ table: 'panel', id: panel.id, to: { ...panel, code } })
  return code
}

async function freeCode(db: Kysely<Tables>, panel: PanelRow, here: PanelRow | null): Promise<string> {
  const isFree = async (code: string) =>
    !(await db
      .selectFrom('panel')
      .select('id')
      .where('code', '=', code)
      .where('deleted_at', 'is', null)
      .where('id', '<>', panel.id)
      .executeTakeFirst())
  if (await isFree(panel.code)) return panel.code
  return here && (await isFree(here.code)) ? here.code : nextCode(db)
}

/** Tags, layers, mixtures and booth conditions are the panel's alone: they become what they were. */
function planLayers({ past, now, alterations }: Planning, materials: ReadonlyMap<string, string>): void {
  for (const table of ['tag', 'layer', 'mixture', 'mixture_part', 'booth_conditions'] as const) {
    for (const row of past.own.all(table)) {
      const to = { ...row } as unknown as Row
      if (table === 'mixture_part' && typeof to.material_id === 'string')
        to.material_id = materials.get(to.material_id) ?? to.material_id
      alterations.push({ table, id: row.id, to })
    }
    const gone = now.own.all(table).filter(({ id }) => !past.own.get(table, id))
    // what is nested goes before what it is nested in
    const isRoot = (row: object) => 'root_id' in row && 'id' in row && row.root_id === row.id
    for (const { id } of gone.toSorted((a, b) => Number(isRoot(a)) - Number(isRoot(b))))
      alterations.push({ table, id, to: null })
  }
}

/** Steps as they were, and after them those that hold what came later; the others go. @returns ids of those that are there then */
function stepsThatStay({ past, now, keepLater, alterations, notes }: Planning): Set<string> {
  const steps = past.own.all('step').toSorted((a, b) => a.position - b.position)
  const hasReadings = ({ id }: StepRow) =>
    now.own.all('reading').some(({ step_id, deleted_at }) => step_id === id && deleted_at === null)
  const later = now.own
    .all('step')
    .filter(({ id }) => !past.own.get('step', id))
    .toSorted((a, b) => a.position - b.position)
  const stay = keepLater ? later.filter(hasReadings) : []
  for (const step of steps) alterations.push({ table: 'step', id: step.id, to: { ...step } })
  const next = (steps.at(-1)?.position ?? -1) + 1
  for (const [i, step] of stay.entries()) {
    alterations.push({ table: 'step', id: step.id, to: { ...step, position: next + i } })
    notes.push(`The step of ${step.coats} coats stays: it has readings that came later.`)
  }
  for (const { id } of later)
    if (!stay.some((step) => step.id === id)) alterations.push({ table: 'step', id, to: null })
  return new Set([...steps, ...stay].map(({ id }) => id))
}
