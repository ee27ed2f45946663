import { v7 } from 'uuid'
import type { PanelChange, SkippedPanels } from '../../../../shared-core/records/wall.ts'
import type { Changing } from '../../history/change.ts'
import { among } from '../among.ts'

/** As many as a panel may have, see `Panel`. */
const mostTags = 60

type Panel = { id: string; code: string; status: string; sprayed_on: string | null }

/**
 * Changes panels all at once, in a fixed number of queries and as many statements as rows are added.
 * @returns the panels that are now otherwise than before, and which could not be changed
 */
export async function changePanels(
  change: Changing,
  panelIds: readonly string[],
  wanted: PanelChange,
): Promise<{ changed: Array<{ id: string; code: string }>; skipped: SkippedPanels[] }> {
  const panels = await change.db
    .selectFrom('panel')
    .select(['id', 'code', 'status', 'sprayed_on'])
    .where('id', 'in', among(panelIds))
    .where('deleted_at', 'is', null)
    .orderBy('code')
    .execute()
  const there = new Set(panels.map(({ id }) => id))
  const work = new Work(change, panels)
  work.skip(
    'It is not in the rack (any more).',
    [...new Set(panelIds)].filter((id) => !there.has(id)),
  )
  if (wanted.removeTags) await work.removeTags(wanted.removeTags)
  if (wanted.addTags) await work.addTags(wanted.addTags)
  if (wanted.ground !== undefined) await work.setGround(wanted.ground)
  if (wanted.retire !== undefined) await work.retire(wanted.retire)
  if (wanted.trash) await work.trash()
  return {
    changed: panels.filter(({ id }) => work.changed.has(id)),
    skipped: work.skipped,
  }
}

class Work {
  readonly changed = new Set<string>()
  readonly skipped: SkippedPanels[] = []
  private readonly change: Changing
  private readonly panels: readonly Panel[]
  private readonly ids: readonly string[]

  constructor(change: Changing, panels: readonly Panel[]) {
    this.change = change
    this.panels = panels
    this.ids = panels.map(({ id }) => id)
  }

  skip(why: string, panelIds: string[]): void {
    if (panelIds.length > 0) this.skipped.push({ why, panelIds })
  }

  private tags() {
    return this.change.db
      .selectFrom('tag')
      .select(['id', 'panel_id', 'position', 'name'])
      .where('panel_id', 'in', among(this.ids))
      .execute()
  }

  async removeTags(names: readonly string[]): Promise<void> {
    const unwanted = new Set(names.map(inOneCase))
    const rows = (await this.tags()).filter(({ name }) => unwanted.has(inOneCase(name)))
    await this.change.removeMany(
      'tag',
      rows.map(({ id }) => id),
    )
    for (const { panel_id } of rows) this.changed.add(panel_id)
  }

  async addTags(names: readonly string[]): Promise<void> {
    const byPanel = Map.groupBy(await this.tags(), ({ panel_id }) => panel_id)
    const wanted = names.filter((name, i) => names.findIndex((other) => inOneCase(other) === inOneCase(name)) === i)
    const full: string[] = []
    const added = this.ids.flatMap((panelId) => {
      const own = byPanel.get(panelId) ?? []
      const there = new Set(own.map(({ name }) => inOneCase(name)))
      const missing = wanted.filter((name) => !there.has(inOneCase(name)))
      if (own.length + missing.length > mostTags) {
        full.push(panelId)
        return []
      }
      const next = Math.max(-1, ...own.map(({ position }) => position)) + 1
      return missing.map((name, i) => ({ id: v7(), panel_id: panelId, position: next + i, name }))
    })
    await this.change.insertMany('tag', added)
    for (const { panel_id } of added) this.changed.add(panel_id)
    this.skip(`It would have more than ${mostTags} tags.`, full)
  }

  /** A ground that is not written down is not made up: where in the build it lies, and in how many coats, nobody said. */
  async setGround(name: string): Promise<void> {
    const rows = await this.change.db
      .selectFrom('layer')
      .select(['id', 'panel_id', 'name'])
      .where('panel_id', 'in', among(this.ids))
      .where('kind', '=', 'ground')
      .execute()
    const byPanel = Map.groupBy(rows, ({ panel_id }) => panel_id)
    const single = [...byPanel.values()].filter((layers) => layers.length === 1).flat()
    const other = single.filter((layer) => layer.name !== name)
    await this.change.updateMany(
      'layer',
      other.map(({ id }) => id),
      { name },
    )
    for (const { panel_id } of other) this.changed.add(panel_id)
    this.skip(
      'Its build has no ground: open it and add one where it lies.',
      this.ids.filter((id) => !byPanel.has(id)),
    )
    this.skip(
      'Its build has several grounds: open it and say which is meant.',
      this.ids.filter((id) => (byPanel.get(id)?.length ?? 0) > 1),
    )
  }

  async retire(retired: boolean): Promise<void> {
    const concerned = this.panels.filter(({ status }) => (status === 'retired') !== retired)
    if (retired) return this.setStatus(concerned, 'retired')
    const sprayed = await this.withReadings(concerned)
    const wasSprayed = (panel: Panel) => panel.sprayed_on !== null || sprayed.has(panel.id)
    await this.setStatus(concerned.filter(wasSprayed), 'sprayed')
    await this.setStatus(
      concerned.filter((panel) => !wasSprayed(panel)),
      'planned',
    )
  }

  async trash(): Promise<void> {
    await this.change.updateMany('panel', this.ids, { deleted_at: new Date().toISOString() })
    for (const id of this.ids) this.changed.add(id)
  }

  private async setStatus(panels: readonly Panel[], status: string): Promise<void> {
    const ids = panels.map(({ id }) => id)
    await this.change.updateMany('panel', ids, { status })
    for (const id of ids) this.changed.add(id)
  }

  /** Panels that were read: nobody reads what was not sprayed. */
  private async withReadings(panels: readonly Panel[]): Promise<Set<string>> {
    const rows = await this.change.db
      .selectFrom('step')
      .innerJoin('reading', 'reading.step_id', 'step.id')
      .select('step.panel_id')
      .distinct()
      .where('step.panel_id', 'in', among(panels.map(({ id }) => id)))
      .where('reading.deleted_at', 'is', null)
      .execute()
    return new Set(rows.map(({ panel_id }) => panel_id))
  }
}

/** As SQLite compares tags, which folds only ASCII. */
const inOneCase = (name: string): string => name.replaceAll(/[A-Z]/g, (letter) => letter.toLowerCase())
