import { cpSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { v7 } from 'uuid'
import { afterAll, onTestFinished } from 'vitest'
import { carryOut, writePlan } from '../../../electron/rack/archive/carry-out.ts'
import { type Merged, mergeRacks, type Wish } from '../../../electron/rack/archive/merge/merge.ts'
import type { Changing } from '../../../electron/rack/history/change.ts'
import { createRack, openRack, type Rack } from '../../../electron/rack/opening/open.ts'
import { savePanel } from '../../../electron/rack/queries/panels.ts'
import { addPhoto } from '../../../electron/rack/queries/photos.ts'
import { addReading } from '../../../electron/rack/queries/readings.ts'
import { typedReading } from '../../../electron/service/typed-colour.ts'
import { allParts, usualRules } from '../../../shared-core/records/archive.ts'
import type { PanelDraft } from '../../../shared-core/records/panel.ts'
import { draft, freshFolder, newPhoto } from '../fresh.ts'

/** Racks that are taken into each other, without their photos' files. */

export const usual: Wish = { rules: usualRules, choices: {}, parts: allParts }

/** Made once for each name, and copied: each name is a rack of its own, with lights of its own. */
const made = new Map<string, string>()
const shelf = mkdtempSync(join(tmpdir(), 'overground-test-'))
afterAll(() => rmSync(shelf, { recursive: true, force: true }))

export async function emptyRack(name: string): Promise<Rack> {
  const first = made.get(name) ?? join(shelf, name)
  if (!made.has(name)) {
    await (await createRack(first, name)).close()
    made.set(name, first)
  }
  const folder = join(freshFolder(), name)
  cpSync(first, folder, { recursive: true })
  const rack = await openRack(folder, { who: () => 'Wren' })
  onTestFinished(() => rack.close())
  return rack
}

/** The same rack on another computer: closed, copied, both opened. */
export async function copied(rack: Rack, folder = freshFolder()): Promise<[Rack, Rack]> {
  await rack.close()
  const other = join(folder, 'copy')
  cpSync(rack.folder, other, { recursive: true })
  rmSync(join(other, 'renditions'), { recursive: true, force: true })
  const both = [await openRack(rack.folder), await openRack(other)] as [Rack, Rack]
  onTestFinished(async () => {
    for (const each of both) await each.close()
  })
  return both
}

/** Takes `theirs` into `ours`, or only looks. */
export async function take(ours: Rack, theirs: Rack, wish: Wish = usual): Promise<Merged & { operations: number }> {
  const planned = plan(ours, theirs, wish)
  if (planned.operations > 0)
    await ours.change({ label: 'take in' }, async (change) => {
      await carryOut(
        change,
        planned.path,
        () => undefined,
        () => Promise.resolve(),
      )
      await change.db.updateTable('rack_info').set(planned.counters).execute()
    })
  return planned
}

export function plan(ours: Rack, theirs: Rack, wish: Wish = usual): Merged & { operations: number; path: string } {
  const folder = freshFolder()
  mkdirSync(folder, { recursive: true })
  const path = join(folder, 'plan')
  const [left, right] = [theirs, ours].map(
    (rack) => new Database(join(rack.folder, 'rack.sqlite'), { readonly: true }),
  ) as [Database.Database, Database.Database]
  try {
    const writer = writePlan(path)
    const merged = mergeRacks(left, right, wish, (operation) => writer.add(operation))
    return { ...merged, operations: writer.end(), path }
  } finally {
    left.close()
    right.close()
  }
}

export const typed = (l: number, stepId: string, takenAt = '2031-05-03T10:00:00.000Z') => ({
  ...typedReading(
    {
      lab: { l, a: 5, b: -8 },
      illuminant: 'D50',
      observer: '2',
      geometry: '45:0',
      bound90: 1,
      view: 'face',
      stage: 'dry',
      lightId: null,
    },
    { stepId },
  ),
  takenAt,
})

export const stepsOf = async (rack: Rack, panelId: string): Promise<string[]> =>
  (await rack.db.selectFrom('step').select('id').where('panel_id', '=', panelId).orderBy('position').execute()).map(
    ({ id }) => id,
  )

/** A panel with one reading of each step. */
export async function hang(rack: Rack, more: Partial<PanelDraft> = {}, l = 40): Promise<string> {
  return rack.change({ label: 'hang' }, async (change) => {
    const id = await savePanel(change, draft(more))
    for (const step of await change.db.selectFrom('step').select('id').where('panel_id', '=', id).execute())
      await addReading(change, typed(l, step.id))
    return id
  })
}

/** A photo, marked and filed to a panel, with a reading of its first step. */
export async function photograph(change: Changing, panelId: string, seed: string, l = 50): Promise<void> {
  const [step] = await change.db
    .selectFrom('step')
    .select('id')
    .where('panel_id', '=', panelId)
    .orderBy('position')
    .execute()
  if (!step) throw new Error('a panel without steps')
  const photo = newPhoto(v7(), { sha256: newPhoto(seed).sha256 })
  await addPhoto(change, photo)
  await change.update('photo', photo.id, { filed: 1, laid_out_at: '2031-05-03T10:00:00.000Z' })
  await change.insert('card', { id: v7(), photo_id: photo.id, quad: quad(0), l: 50, a: 0, b: 0 })
  const areaId = v7()
  const cutKey = photo.sha256.slice(0, 32)
  await change.insert('area', {
    id: areaId,
    photo_id: photo.id,
    position: 0,
    step_id: step.id,
    kind: 'quad',
    points: quad(100),
    radius: null,
    cut_key: cutKey,
  })
  await change.insert('filing', {
    id: v7(),
    photo_id: photo.id,
    panel_id: panelId,
    reference_id: null,
    filed_at: '2031-05-03T10:00:00.000Z',
  })
  await addReading(change, { ...typed(l, step.id), photoId: photo.id, areaId, cut: cutKey, level: 'card' })
}

const quad = (from: number): string =>
  JSON.stringify([
    [from, 0],
    [from + 90, 0],
    [from + 90, 90],
    [from, 90],
  ])

/** What hangs in a rack, without ids: panels with their builds, formulas, readings and photos. */
export async function hanging(rack: Rack): Promise<string[]> {
  const { db } = rack
  const panels = await db.selectFrom('panel').selectAll().where('deleted_at', 'is', null).orderBy('code').execute()
  const said: string[] = []
  for (const { id, title, notes, status, sprayed_on } of panels) {
    const layers = await db.selectFrom('layer').selectAll().where('panel_id', '=', id).orderBy('position').execute()
    const parts = await db
      .selectFrom('mixture_part')
      .innerJoin('layer', 'layer.mixture_id', 'mixture_part.root_id')
      .leftJoin('material', 'material.id', 'mixture_part.material_id')
      .select(['material.name', 'mixture_part.amount', 'mixture_part.unit'])
      .where('layer.panel_id', '=', id)
      .orderBy('mixture_part.position')
      .execute()
    const readings = await db
      .selectFrom('reading')
      .innerJoin('step', 'step.id', 'reading.step_id')
      .leftJoin('photo', 'photo.id', 'reading.photo_id')
      .select(['step.coats', 'reading.l', 'reading.taken_at', 'photo.sha256'])
      .where('step.panel_id', '=', id)
      .where('reading.deleted_at', 'is', null)
      .execute()
    const photos = await db
      .selectFrom('filing')
      .innerJoin('photo', 'photo.id', 'filing.photo_id')
      .select('photo.sha256')
      .where('panel_id', '=', id)
      .execute()
    const tags = await db.selectFrom('tag').select('name').where('panel_id', '=', id).orderBy('position').execute()
    said.push(
      JSON.stringify({
        title,
        notes,
        status,
        sprayed_on,
        tags,
        layers: layers.map(({ kind, name, coats }) => [kind, name, coats]),
        parts,
        readings: readings.map((reading) => JSON.stringify(reading)).toSorted(),
        photos: photos.map(({ sha256 }) => sha256).toSorted(),
      }),
    )
  }
  return said.toSorted()
}

/** SQLite's own word on it. */
export function soundness(rack: Rack): unknown[] {
  const raw = new Database(join(rack.folder, 'rack.sqlite'), { readonly: true })
  try {
    return [raw.pragma('integrity_check', { simple: true }), raw.pragma('foreign_key_check')]
  } finally {
    raw.close()
  }
}
