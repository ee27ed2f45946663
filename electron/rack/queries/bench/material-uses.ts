import { type Kysely, sql } from 'kysely'
import { v7 } from 'uuid'
import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import type { Replacement } from '../../../../shared-core/records/cup.ts'
import type { Material, Mixture } from '../../../../shared-core/records/mixture.ts'
import type { ReplacementRow } from '../../bench-rows.ts'
import type { Changing } from '../../history/change.ts'
import type { Tables } from '../../tables.ts'
import { readMaterial } from '../shelf.ts'
import { readCustomerJob, saveCustomerJob } from './customer-jobs.ts'

/** Where a material is needed, and what happens when another takes its place. */

export type PanelUse = { panelId: string; code: string; title: string; status: string }
export type CupUse = { cupId: string; code: string; title: string; startedAt: string }
/** `inFormula`: what is to be sprayed needs it; else only a candidate that was considered names it. */
export type JobUse = { customerJobId: string; code: string; title: string; status: string; inFormula: boolean }
export type Uses = { panels: PanelUse[]; cups: CupUse[]; jobs: JobUse[] }

/** Panels that are in the trash need it too: undo brings them back. @param trash  with those */
export async function panelsWith(db: Kysely<Tables>, materialId: string, trash: boolean): Promise<PanelUse[]> {
  let query = db
    .selectFrom('mixture_part')
    .innerJoin('layer', 'layer.mixture_id', 'mixture_part.root_id')
    .innerJoin('panel', 'panel.id', 'layer.panel_id')
    .select(['panel.id as panelId', 'panel.code', 'panel.title', 'panel.status'])
    .distinct()
    .where('mixture_part.material_id', '=', materialId)
  if (!trash) query = query.where('panel.deleted_at', 'is', null)
  return query.orderBy('panel.created_at', 'desc').orderBy('panel.code', 'desc').execute()
}

export async function usesOf(db: Kysely<Tables>, materialId: string, trash = false): Promise<Uses> {
  const cups = await db
    .selectFrom('cup_line')
    .innerJoin('cup', 'cup.id', 'cup_line.cup_id')
    .select(['cup.id as cupId', 'cup.code', 'cup.title', 'cup.started_at as startedAt'])
    .distinct()
    .where('cup_line.material_id', '=', materialId)
    .orderBy('cup.started_at', 'desc')
    .execute()
  // ids are found as they stand in the JSON, quoted
  const named = JSON.stringify(materialId)
  let jobs = db
    .selectFrom('customer_job')
    .select(['id as customerJobId', 'code', 'title', 'status', 'formula'])
    .where(sql<boolean>`instr(coalesce(formula, ''), ${named}) > 0 or instr(candidates, ${named}) > 0`)
  if (!trash) jobs = jobs.where('deleted_at', 'is', null)
  const found = await jobs.orderBy('created_at', 'desc').execute()
  return {
    panels: await panelsWith(db, materialId, trash),
    cups,
    jobs: found.map(({ formula, ...job }) => ({ ...job, inFormula: formula?.includes(named) === true })),
  }
}

const some = (codes: readonly string[]): string =>
  codes.length > 4 ? `${codes.slice(0, 4).join(', ')} and ${codes.length - 4} more` : codes.join(', ')

/** Removes a material that nothing needs, with its own counts. @throws Refusal `material/absent`, `material/needed` */
export async function removeMaterial(change: Changing, materialId: string): Promise<string> {
  const { name } = await readMaterial(change.db, materialId)
  const { panels, cups, jobs } = await usesOf(change.db, materialId, true)
  const replacements = await change.db
    .selectFrom('replacement')
    .select('id')
    .where((e) => e.or([e('material_id', '=', materialId), e('by_material_id', '=', materialId)]))
    .execute()
  const codes = [...panels, ...cups, ...jobs].map(({ code }) => code)
  if (codes.length > 0 || replacements.length > 0) {
    const by = codes.length > 0 ? some(codes) : 'the trail of what replaced it'
    throw new Refusal(
      'material/needed',
      `${name} is needed by ${by}: a record without it could not be read.`,
      'Take it off the shelf instead, or put another in its place.',
    )
  }
  const moves = await change.db.selectFrom('stock_move').select('id').where('material_id', '=', materialId).execute()
  for (const { id } of moves) await change.remove('stock_move', id)
  await change.remove('material', materialId)
  return name
}

const asReplacement = (row: ReplacementRow): Replacement => ({
  id: row.id,
  at: row.at,
  who: row.who,
  materialId: row.material_id,
  byMaterialId: row.by_material_id,
  panelIds: JSON.parse(row.panel_ids) as string[],
  customerJobIds: JSON.parse(row.customer_job_ids) as string[],
})

/** Of both sides: what took its place, and whose place it took. The newest first. */
export async function listReplacements(db: Kysely<Tables>, materialId: string): Promise<Replacement[]> {
  const rows = await db
    .selectFrom('replacement')
    .selectAll()
    .where((e) => e.or([e('material_id', '=', materialId), e('by_material_id', '=', materialId)]))
    .orderBy('at', 'desc')
    .execute()
  return rows.map(asReplacement)
}

/** Where another would take its place: panels that are only planned, and jobs that are not painted yet. */
export async function replaceable(db: Kysely<Tables>, materialId: string): Promise<Uses & { sprayed: PanelUse[] }> {
  const uses = await usesOf(db, materialId)
  return {
    panels: uses.panels.filter(({ status }) => status === 'planned'),
    sprayed: uses.panels.filter(({ status }) => status !== 'planned'),
    cups: [],
    jobs: uses.jobs.filter(({ status, inFormula }) => inFormula && (status === 'open' || status === 'accepted')),
  }
}

/**
 * Puts one material in another's place where `replaceable` says, and keeps a trail of it.
 * @throws Refusal `material/absent`, `material/same`, `material/other-kind`
 */
export async function replaceMaterial(
  change: Changing,
  materialId: string,
  byMaterialId: string,
  who: string,
): Promise<{ replacement: Replacement; from: Material; to: Material }> {
  const from = await readMaterial(change.db, materialId)
  const to = await readMaterial(change.db, byMaterialId)
  if (from.id === to.id)
    throw new Refusal('material/same', `${from.name} cannot take its own place.`, 'Choose another material.')
  if (from.kind !== to.kind)
    throw new Refusal(
      'material/other-kind',
      `${to.name} is of another kind than ${from.name}, so it cannot take its place.`,
      'Choose a material of the same kind, or change its kind first.',
    )
  const { panels, jobs } = await replaceable(change.db, materialId)
  for (const { panelId } of panels) {
    const parts = await change.db
      .selectFrom('mixture_part')
      .innerJoin('layer', 'layer.mixture_id', 'mixture_part.root_id')
      .select('mixture_part.id')
      .where('layer.panel_id', '=', panelId)
      .where('mixture_part.material_id', '=', materialId)
      .execute()
    for (const { id } of parts) await change.update('mixture_part', id, { material_id: byMaterialId })
  }
  for (const { customerJobId } of jobs) {
    const job = await readCustomerJob(change.db, customerJobId)
    if (job.formula)
      await saveCustomerJob(change, {
        ...job,
        formula: { ...job.formula, mixture: put(job.formula.mixture, from, to) },
      })
  }
  const row: ReplacementRow = {
    id: v7(),
    at: new Date().toISOString(),
    who,
    material_id: materialId,
    by_material_id: byMaterialId,
    panel_ids: JSON.stringify(panels.map(({ panelId }) => panelId)),
    customer_job_ids: JSON.stringify(jobs.map(({ customerJobId }) => customerJobId)),
  }
  await change.insert('replacement', row)
  await change.update('material', materialId, { replaced_by_id: byMaterialId, on_shelf: 0 })
  if (to.replacedById !== null) {
    // what takes another's place is in use again: else two that stand for each other are neither used nor bought
    const isThere = to.onHand === null || to.onHand.amount > 0
    await change.update('material', byMaterialId, { replaced_by_id: null, on_shelf: isThere ? 1 : 0 })
  }
  return { replacement: asReplacement(row), from, to }
}

const put = (mixture: Mixture, from: Material, to: Material): Mixture => ({
  ...mixture,
  parts: mixture.parts.map((part) => ({
    ...part,
    material: part.material?.id === from.id ? { id: to.id, name: to.name, kind: to.kind } : part.material,
    mixture: part.mixture && put(part.mixture, from, to),
  })),
})
