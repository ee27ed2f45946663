import { v7 } from 'uuid'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { BoothConditions, Layer, PanelDraft, Step } from '../../../shared-core/records/panel.ts'
import type { Changing } from '../history/change.ts'
import type { BoothConditionsRow, LayerRow } from '../tables.ts'
import { insertMixture, readMixtures, removeMixture, sameMixture } from './mixtures.ts'
import { giveCode, nextCode } from './rack-info.ts'
import { findOrAddGunSetup } from './shelf.ts'

export const panelAbsent = () =>
  new Refusal(
    'panel/absent',
    'This panel is not in the rack (any more).',
    'Undo brings a removed panel back, Redo one whose making was undone.',
  )

/**
 * Makes a panel, or brings one to what the draft says: layers and steps that the draft names by id keep it.
 * @returns the panel's id
 * @throws Refusal `panel/absent`, `panel/code-taken`, `panel/step-has-readings`
 */
export async function savePanel(change: Changing, draft: PanelDraft): Promise<string> {
  const id = draft.id ?? v7()
  const old = draft.id === null ? undefined : await livePanel(change, draft.id)
  const code = draft.code ?? old?.code ?? (await nextCode(change.db))
  await mustBeFreeCode(change, code, id)
  const said = {
    code,
    title: draft.title,
    status: draft.status,
    sprayed_on: draft.sprayedOn,
    sprayed_by: draft.sprayedBy,
    substrate: draft.substrate,
    notes: draft.notes,
  }
  await giveCode(change.db, code)
  if (old) await change.update('panel', id, said)
  else await change.insert('panel', { id, ...said, created_at: new Date().toISOString(), deleted_at: null })
  await saveTags(change, id, draft.tags)
  await saveLayers(change, id, draft.layers)
  await saveSteps(change, id, draft.steps)
  return id
}

/** Moves a panel to the trash, with its readings. */
export async function removePanel(change: Changing, panelId: string): Promise<void> {
  await livePanel(change, panelId)
  await change.update('panel', panelId, { deleted_at: new Date().toISOString() })
}

async function livePanel(change: Changing, id: string): Promise<{ code: string }> {
  const row = await change.db
    .selectFrom('panel')
    .select('code')
    .where('id', '=', id)
    .where('deleted_at', 'is', null)
    .executeTakeFirst()
  if (!row) throw panelAbsent()
  return row
}

async function mustBeFreeCode(change: Changing, code: string, id: string): Promise<void> {
  const other = await change.db
    .selectFrom('panel')
    .select(['code', 'title'])
    .where('code', '=', code)
    .where('deleted_at', 'is', null)
    .where('id', '<>', id)
    .executeTakeFirst()
  if (other)
    throw new Refusal(
      'panel/code-taken',
      `${other.code} is the code of another panel${other.title === '' ? '' : ` (“${other.title}”)`}.`,
      'Choose another code, or leave it empty and the rack gives the next one.',
    )
}

async function saveTags(change: Changing, panelId: string, tags: readonly string[]): Promise<void> {
  const wanted = tags.filter((tag, i) => tags.findIndex((other) => other.toLowerCase() === tag.toLowerCase()) === i)
  const rows = await change.db.selectFrom('tag').selectAll().where('panel_id', '=', panelId).execute()
  for (const row of rows) if (!wanted.includes(row.name)) await change.remove('tag', row.id)
  for (const [position, name] of wanted.entries()) {
    const row = rows.find((present) => present.name === name)
    if (row) await change.update('tag', row.id, { position })
    else await change.insert('tag', { id: v7(), panel_id: panelId, position, name })
  }
}

async function saveLayers(change: Changing, panelId: string, layers: readonly Layer[]): Promise<void> {
  const rows = await change.db.selectFrom('layer').selectAll().where('panel_id', '=', panelId).execute()
  const kept = new Set(layers.map((layer) => layer.id))
  for (const row of rows) {
    if (kept.has(row.id)) continue
    await change.remove('layer', row.id)
    if (row.mixture_id) await removeMixture(change, row.mixture_id)
    if (row.booth_id) await change.remove('booth_conditions', row.booth_id)
  }
  const used = new Set<string>()
  for (const [position, layer] of layers.entries()) {
    // a layer copied in the form comes with the id of its original: the second becomes a layer of its own
    const old = rows.find((row) => row.id === layer.id && !used.has(row.id))
    if (old) used.add(old.id)
    await saveLayer(change, panelId, position, layer, old)
  }
}

async function saveLayer(
  change: Changing,
  panelId: string,
  position: number,
  layer: Layer,
  old: LayerRow | undefined,
): Promise<void> {
  const mixtureId = await mixtureFor(change, layer, old)
  const boothId = await boothFor(change, layer.booth, old?.booth_id ?? null)
  const said = {
    position,
    kind: layer.kind,
    name: layer.name,
    coats: layer.coats,
    mixture_id: mixtureId,
    gun_setup_id: layer.gunSetup && (await findOrAddGunSetup(change, layer.gunSetup)),
    booth_id: boothId,
    notes: layer.notes,
  }
  if (!old) {
    await change.insert('layer', { id: v7(), panel_id: panelId, ...said })
    return
  }
  await change.update('layer', old.id, said)
  if (old.mixture_id && old.mixture_id !== mixtureId) await removeMixture(change, old.mixture_id)
  if (old.booth_id && old.booth_id !== boothId) await change.remove('booth_conditions', old.booth_id)
}

async function mixtureFor(change: Changing, layer: Layer, old: LayerRow | undefined): Promise<string | null> {
  if (!layer.mixture) return null
  if (old?.mixture_id) {
    const present = (await readMixtures(change.db, [old.mixture_id])).get(old.mixture_id)
    if (present && sameMixture(present, layer.mixture)) return old.mixture_id
  }
  return insertMixture(change, layer.mixture)
}

async function boothFor(change: Changing, booth: BoothConditions | null, oldId: string | null): Promise<string | null> {
  if (!booth) return null
  const row: Omit<BoothConditionsRow, 'id'> = {
    temperature_c: booth.temperatureC,
    humidity_percent: booth.humidityPercent,
    flash_off_min: booth.flashOffMin,
    reducer_grade: booth.reducerGrade,
  }
  if (oldId) {
    await change.update('booth_conditions', oldId, row)
    return oldId
  }
  const id = v7()
  await change.insert('booth_conditions', { id, ...row })
  return id
}

async function saveSteps(change: Changing, panelId: string, steps: readonly Step[]): Promise<void> {
  const rows = await change.db.selectFrom('step').selectAll().where('panel_id', '=', panelId).execute()
  const kept = new Set(steps.map((step) => step.id))
  for (const row of rows) if (!kept.has(row.id)) await dropStep(change, row)
  const used = new Set<string>()
  for (const [position, { id, coats, notes }] of steps.entries()) {
    const old = rows.find((row) => row.id === id && !used.has(row.id))
    if (old) used.add(old.id)
    if (old) await change.update('step', old.id, { position, coats, notes })
    else await change.insert('step', { id: v7(), panel_id: panelId, position, coats, notes })
  }
}

async function dropStep(change: Changing, step: { id: string; coats: number }): Promise<void> {
  const readings = await change.db
    .selectFrom('reading')
    .select(['id', 'deleted_at'])
    .where('step_id', '=', step.id)
    .execute()
  const live = readings.filter((reading) => reading.deleted_at === null).length
  if (live > 0)
    throw new Refusal(
      'panel/step-has-readings',
      `The step of ${step.coats} coats has ${live === 1 ? 'a reading' : `${live} readings`}, so it cannot be dropped.`,
      'Remove its readings first, or keep the step.',
    )
  for (const reading of readings) await change.remove('reading', reading.id)
  const areas = await change.db.selectFrom('area').select('id').where('step_id', '=', step.id).execute()
  for (const area of areas) await change.update('area', area.id, { step_id: null })
  await change.remove('step', step.id)
}
