import type { Kysely } from 'kysely'
import { v7 } from 'uuid'
import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import { cupLineOf } from '../../../../shared-core/mix/cup/cup-lines.ts'
import { planPour } from '../../../../shared-core/mix/cup/pour-plan.ts'
import { fillCup } from '../../../../shared-core/mix/cup/targets.ts'
import type { DensityOf } from '../../../../shared-core/mix/quantities.ts'
import type { Cup, CupLine, CupMeasure, CupStatus, CupTarget } from '../../../../shared-core/records/cup.ts'
import type { MaterialKind, Mixture, Part } from '../../../../shared-core/records/mixture.ts'
import type { CupLineRow, CupRow } from '../../bench-rows.ts'
import type { Changing } from '../../history/change.ts'
import type { Tables } from '../../tables.ts'
import { among } from '../among.ts'
import { findOrAddMaterial, listMaterials } from '../shelf.ts'
import { giveBenchCode } from './bench-codes.ts'
import { takeOff } from './stock.ts'

/** Cups of paint, and what was poured into them. */

const cupAbsent = () =>
  new Refusal(
    'cup/absent',
    'This cup is not in the rack (any more).',
    'Open the list of cups and choose one that is there.',
  )

const asLine = (row: CupLineRow): CupLine => ({
  id: row.id,
  materialId: row.material_id,
  name: row.name,
  kind: row.kind as MaterialKind,
  powder: row.powder === 1,
  wanted: row.wanted,
  poured: row.poured,
  accepted: row.accepted === 1,
  batch: row.batch,
})

const asCup = (row: CupRow, lines: readonly CupLineRow[]): Cup => ({
  id: row.id,
  code: row.code,
  title: row.title,
  customerJobId: row.customer_job_id,
  panelId: row.panel_id,
  mixture: JSON.parse(row.mixture) as Mixture,
  target: JSON.parse(row.target) as CupTarget,
  measure: JSON.parse(row.measure) as CupMeasure,
  cupMl: row.cup_ml,
  tipMm: row.tip_mm,
  lines: lines.map(asLine),
  status: row.status as CupStatus,
  startedAt: row.started_at,
  mixedAt: row.mixed_at,
  mixedBy: row.mixed_by,
  hardenerAt: row.hardener_at,
  standUntil: row.stand_until,
  potLifeUntil: row.pot_life_until,
  notes: row.notes,
})

async function withLines(db: Kysely<Tables>, rows: readonly CupRow[]): Promise<Cup[]> {
  if (rows.length === 0) return []
  const ids = rows.map(({ id }) => id)
  const lines = await db
    .selectFrom('cup_line')
    .selectAll()
    .where('cup_id', 'in', among(ids))
    .orderBy('cup_id')
    .orderBy('position')
    .execute()
  const byCup = Map.groupBy(lines, (line) => line.cup_id)
  return rows.map((row) => asCup(row, byCup.get(row.id) ?? []))
}

/** The newest first. Null: of all jobs, of all panels. */
export async function listCups(
  db: Kysely<Tables>,
  { customerJobId, panelId }: { customerJobId: string | null; panelId: string | null },
): Promise<Cup[]> {
  let query = db.selectFrom('cup').selectAll()
  if (customerJobId !== null) query = query.where('customer_job_id', '=', customerJobId)
  if (panelId !== null) query = query.where('panel_id', '=', panelId)
  return withLines(db, await query.orderBy('started_at', 'desc').orderBy('code', 'desc').execute())
}

/** @param key  id or code. @throws Refusal `cup/absent` */
export async function readCup(db: Kysely<Tables>, key: string): Promise<Cup> {
  const rows = await db
    .selectFrom('cup')
    .selectAll()
    .where((e) => e.or([e('id', '=', key), e('code', '=', key)]))
    .limit(1)
    .execute()
  const [cup] = await withLines(db, rows)
  if (!cup) throw cupAbsent()
  return cup
}

/** A mixture whose every material is on the shelf; names that it lacks are put there. */
export async function withShelfIds(change: Changing, mixture: Mixture): Promise<Mixture> {
  const parts: Part[] = []
  for (const part of mixture.parts) {
    const { material } = part
    parts.push({
      ...part,
      material: material && { ...material, id: await findOrAddMaterial(change, material) },
      mixture: part.mixture && (await withShelfIds(change, part.mixture)),
    })
  }
  return { ...mixture, parts }
}

export async function densitiesOf(db: Kysely<Tables>): Promise<DensityOf> {
  const density = new Map((await listMaterials(db)).map(({ id, densityKgPerL }) => [id, densityKgPerL]))
  return ({ id }) => (id === null ? null : (density.get(id) ?? null))
}

export type CupWanted = Pick<
  Cup,
  'title' | 'mixture' | 'target' | 'measure' | 'cupMl' | 'tipMm' | 'customerJobId' | 'panelId'
>

/**
 * A cup that is to be poured: its lines are what the formula asks for, exactly; rounding is the page's and the card's.
 * @throws Refusal as `fillCup`
 */
export async function startCup(change: Changing, wanted: CupWanted): Promise<Cup> {
  const { title, target, measure, cupMl, tipMm, customerJobId, panelId } = wanted
  const mixture = await withShelfIds(change, wanted.mixture)
  const densityOf = await densitiesOf(change.db)
  const contents = fillCup(mixture, { kind: 'amount', basis: target.basis, amount: target.amount }, densityOf)
  const { by, step, dropMl } = measure
  const id = v7()
  const code = await giveBenchCode(change, 'cup')
  await change.insert('cup', {
    id,
    code,
    title,
    customer_job_id: customerJobId,
    panel_id: panelId,
    mixture: JSON.stringify(mixture),
    target: JSON.stringify(target),
    measure: JSON.stringify(measure),
    cup_ml: cupMl,
    tip_mm: tipMm,
    status: 'pouring',
    started_at: new Date().toISOString(),
    mixed_at: null,
    mixed_by: '',
    hardener_at: null,
    stand_until: null,
    pot_life_until: null,
    notes: '',
  })
  for (const [position, each] of planPour(contents, { by, step, dropMl }, densityOf).lines.entries()) {
    const line = cupLineOf(each, v7())
    if (!line) throw new Error(`${each.material.name} has no place on the shelf`)
    const { materialId, powder, accepted, ...said } = line
    await change.insert('cup_line', {
      ...said,
      cup_id: id,
      position,
      material_id: materialId,
      powder: powder ? 1 : 0,
      accepted: accepted ? 1 : 0,
    })
  }
  return readCup(change.db, id)
}

/** @throws Refusal `cup/finished` */
export function mustBePouring({ status, code }: Cup): void {
  if (status === 'pouring') return
  throw new Refusal(
    'cup/finished',
    status === 'mixed' ? `Cup ${code} has been mixed.` : `Cup ${code} was thrown away.`,
    status === 'mixed' ? 'Undo takes it back to pouring.' : 'Start a new cup.',
  )
}

type Pour = { lineId: string; poured: number | null; accepted: boolean; batch: string }

/** What is in the cup of one line; null takes it back. @throws Refusal `cup/absent`, `cup/finished`, `cup/line-absent` */
export async function pourLine(change: Changing, cup: Cup, { lineId, poured, accepted, batch }: Pour): Promise<void> {
  mustBePouring(cup)
  if (!cup.lines.some(({ id }) => id === lineId)) {
    throw new Refusal('cup/line-absent', `Cup ${cup.code} has no such ingredient.`, 'Open the cup again.')
  }
  // nothing that is not in the cup can be left in it
  await change.update('cup_line', lineId, { poured, accepted: accepted && poured !== null ? 1 : 0, batch })
  const isHardening = cup.lines.some((line) => {
    const amount = line.id === lineId ? poured : line.poured
    return line.kind === 'hardener' && amount !== null && amount > 0
  })
  if (isHardening === (cup.hardenerAt !== null)) return
  await change.update('cup', cup.id, { hardener_at: isHardening ? new Date().toISOString() : null })
}

export type Finish = {
  mixedBy: string
  standUntil: string | null
  potLifeUntil: string | null
  notes: string
  who: string
}

/**
 * A cup that is mixed: what was poured comes off the shelf.
 * @returns sentences on what could not be taken off as it was poured
 * @throws Refusal `cup/finished`, `cup/not-poured`
 */
export async function finishCup(change: Changing, cup: Cup, finish: Finish): Promise<string[]> {
  mustBePouring(cup)
  const poured = cup.lines.flatMap((line) =>
    line.poured !== null && line.poured > 0 ? [{ line, amount: line.poured }] : [],
  )
  if (poured.length === 0) {
    throw new Refusal(
      'cup/not-poured',
      `Nothing has been poured into cup ${cup.code} yet.`,
      'Pour what is asked for, or throw the cup away.',
    )
  }
  const { mixedBy, standUntil, potLifeUntil, notes, who } = finish
  const short: string[] = []
  for (const { line, amount } of poured) {
    const trouble = await takeOff(change, {
      materialId: line.materialId,
      amount,
      basis: line.powder ? 'mass' : cup.measure.by,
      why: 'poured',
      cupId: cup.id,
      batch: line.batch,
      who,
    })
    if (trouble !== null) short.push(trouble)
  }
  await change.update('cup', cup.id, {
    status: 'mixed',
    mixed_at: new Date().toISOString(),
    mixed_by: mixedBy,
    stand_until: standUntil,
    pot_life_until: potLifeUntil,
    notes,
  })
  return short
}

/** A cup of which nothing was poured goes; any other stays in the record, and what it took off the shelf stays off. */
export async function throwCupAway(change: Changing, cup: Cup, who: string): Promise<void> {
  const poured = cup.lines.filter((line) => line.poured !== null && line.poured > 0)
  if (cup.status === 'pouring' && poured.length === 0) {
    for (const { id } of cup.lines) await change.remove('cup_line', id)
    await change.remove('cup', cup.id)
    return
  }
  // what is in the cup is gone from the shelf, whether the cup was finished or not
  if (cup.status === 'pouring') {
    const finish = { mixedBy: cup.mixedBy, standUntil: null, potLifeUntil: null, notes: cup.notes, who }
    await finishCup(change, cup, finish)
  }
  await change.update('cup', cup.id, { status: 'thrown-away', stand_until: null, pot_life_until: null })
}
