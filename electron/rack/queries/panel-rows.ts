import type { Kysely } from 'kysely'
import { v7 } from 'uuid'
import type { MaterialKind, MaterialRef, Mixture } from '../../../shared-core/records/mixture.ts'
import type { Layer, PanelDraft } from '../../../shared-core/records/panel.ts'
import type { Reading } from '../../../shared-core/records/reading.ts'
import type { Changing } from '../history/change.ts'
import type {
  BoothConditionsRow,
  LayerRow,
  MixturePartRow,
  MixtureRow,
  PanelRow,
  ReadingRow,
  StepRow,
  Tables,
  TagRow,
} from '../tables.ts'
import { writtenCode } from './rack-info.ts'
import { readingRow } from './readings.ts'
import { findOrAddGunSetup, findOrAddMaterial } from './shelf.ts'

/** A new panel, and readings of its steps. */
export type NewPanel = { draft: PanelDraft; readings: { step: number; make: (stepId: string) => Reading }[] }

/**
 * Writes thousands of new panels: what `savePanel` does for one, with a few statements for many. Codes are given or
 * checked by whoever calls.
 */
export class PanelWriter {
  private readonly change: Changing
  private readonly materials = new Map<string, string>()
  private readonly gunSetups = new Map<string, string>()
  private readonly createdAt = new Date().toISOString()
  private readonly codes: CodeGiver

  constructor(change: Changing, codes: CodeGiver) {
    this.change = change
    this.codes = codes
  }

  async add(panels: readonly NewPanel[]): Promise<void> {
    const rows: Rows = {
      panel: [],
      tag: [],
      mixture: [],
      mixture_part: [],
      booth: [],
      layer: [],
      step: [],
      reading: [],
    }
    for (const panel of panels) await this.toRows(panel, rows)
    // each table after those that it names
    await this.change.insertMany('panel', rows.panel)
    await this.change.insertMany('tag', rows.tag)
    await this.change.insertMany('mixture', rows.mixture)
    await this.change.insertMany('mixture_part', rows.mixture_part)
    await this.change.insertMany('booth_conditions', rows.booth)
    await this.change.insertMany('layer', rows.layer)
    await this.change.insertMany('step', rows.step)
    await this.change.insertMany('reading', rows.reading)
  }

  private async toRows({ draft, readings }: NewPanel, rows: Rows): Promise<void> {
    const id = v7()
    rows.panel.push({
      id,
      code: this.codes.give(draft.code),
      title: draft.title,
      status: draft.status,
      sprayed_on: draft.sprayedOn,
      sprayed_by: draft.sprayedBy,
      substrate: draft.substrate,
      notes: draft.notes,
      created_at: this.createdAt,
      deleted_at: null,
    })
    for (const [position, name] of draft.tags.entries()) rows.tag.push({ id: v7(), panel_id: id, position, name })
    for (const [position, layer] of draft.layers.entries()) await this.layerRows(id, position, layer, rows)
    const stepIds = draft.steps.map(() => v7())
    for (const [position, { coats, notes }] of draft.steps.entries())
      rows.step.push({ id: stepIds[position] ?? v7(), panel_id: id, position, coats, notes })
    for (const { step, make } of readings) {
      const stepId = stepIds[step]
      if (stepId !== undefined) rows.reading.push(readingRow(make(stepId)))
    }
  }

  private async layerRows(panelId: string, position: number, layer: Layer, rows: Rows): Promise<void> {
    const boothId = layer.booth && v7()
    if (layer.booth && boothId)
      rows.booth.push({
        id: boothId,
        temperature_c: layer.booth.temperatureC,
        humidity_percent: layer.booth.humidityPercent,
        flash_off_min: layer.booth.flashOffMin,
        reducer_grade: layer.booth.reducerGrade,
      })
    rows.layer.push({
      id: v7(),
      panel_id: panelId,
      position,
      kind: layer.kind,
      name: layer.name,
      coats: layer.coats,
      mixture_id: layer.mixture && (await this.mixtureRows(layer.mixture, rows)),
      gun_setup_id: layer.gunSetup && (await this.gunSetup(layer.gunSetup)),
      booth_id: boothId,
      notes: layer.notes,
    })
  }

  /** The outermost first, then what lies in it, depth first. */
  private async mixtureRows(mixture: Mixture, rows: Rows): Promise<string> {
    const rootId = v7()
    let position = 0
    const put = async (id: string, { name, basis, parts }: Mixture): Promise<void> => {
      rows.mixture.push({ id, root_id: rootId, name, basis })
      for (const part of parts) {
        const place = position++
        const childId = part.mixture && v7()
        if (part.mixture && childId) await put(childId, part.mixture)
        rows.mixture_part.push({
          id: v7(),
          mixture_id: id,
          root_id: rootId,
          position: place,
          amount: part.amount,
          unit: part.unit,
          material_id: part.material && (await this.material(part.material)),
          child_id: childId,
        })
      }
    }
    await put(rootId, mixture)
    return rootId
  }

  private async material(meant: MaterialRef): Promise<string> {
    const key = `${meant.id} ${meant.kind} ${meant.name.trim().toLowerCase()}`
    const known = this.materials.get(key)
    if (known !== undefined) return known
    const id = await findOrAddMaterial(this.change, meant)
    this.materials.set(key, id)
    return id
  }

  private async gunSetup(setup: NonNullable<Layer['gunSetup']>): Promise<string> {
    const key = JSON.stringify(setup)
    const known = this.gunSetups.get(key)
    if (known !== undefined) return known
    const id = await findOrAddGunSetup(this.change, setup)
    this.gunSetups.set(key, id)
    return id
  }
}

type Rows = {
  panel: PanelRow[]
  tag: TagRow[]
  mixture: MixtureRow[]
  mixture_part: MixturePartRow[]
  booth: BoothConditionsRow[]
  layer: LayerRow[]
  step: StepRow[]
  reading: ReadingRow[]
}

/** Codes of panels that are not in the trash, in lower case. */
export async function codesInUse(db: Kysely<Tables>): Promise<Set<string>> {
  const rows = await db.selectFrom('panel').select('code').where('deleted_at', 'is', null).execute()
  return new Set(rows.map(({ code }) => code.toLowerCase()))
}

/** Every material of the shelf, by name. */
export async function shelfNames(db: Kysely<Tables>): Promise<MaterialRef[]> {
  const rows = await db.selectFrom('material').select(['id', 'name', 'kind']).orderBy('name').execute()
  return rows.map(({ id, name, kind }) => ({ id, name, kind: kind as MaterialKind }))
}

/** Gives the rack's next codes, none of them twice, and none that is kept for another. */
export type CodeGiver = {
  /** @param wanted  a code that is free; null asks for the next */
  give(wanted: string | null): string
  /** Notes how far the counting went: a code is never given again, not even after an undo. */
  end(): Promise<void>
}

/** @param kept  codes that come later, in lower case */
export async function codeGiver(change: Changing, kept: ReadonlySet<string>): Promise<CodeGiver> {
  const { next_code } = await change.db.selectFrom('rack_info').select('next_code').executeTakeFirstOrThrow()
  const given = new Set(kept)
  for (const { code } of await change.db.selectFrom('panel').select('code').execute()) given.add(code.toLowerCase())
  let next = next_code
  const toFree = () => {
    while (given.has(writtenCode(next).toLowerCase())) next++
  }
  return {
    give: (wanted) => {
      if (wanted !== null) return wanted
      toFree()
      return writtenCode(next++)
    },
    end: async () => {
      // those that were typed count as given where they come next
      toFree()
      if (next > next_code) await change.db.updateTable('rack_info').set({ next_code: next }).execute()
    },
  }
}
