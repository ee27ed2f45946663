import type { Row } from '../../history/rows.ts'
import type { TrackedTable } from '../../tables.ts'
import { comeIn, goOut, keyOf, type Merging } from './merging.ts'
import type { PanelUnit } from './panel-unit.ts'
import { text } from './sides.ts'
import { need } from './things.ts'

/** Tags, layers and formulas. */
export function putBuild(
  m: Merging,
  theirs: PanelUnit,
  panelId: string,
  idFor: (table: TrackedTable, id: string) => string,
): void {
  for (const tag of theirs.tags) comeIn(m, 'tag', { ...tag, id: idFor('tag', text(tag.id)), panel_id: panelId })
  const booths = new Map<string, string>()
  for (const [theirId, booth] of theirs.booths) {
    booths.set(theirId, idFor('booth_conditions', theirId))
    comeIn(m, 'booth_conditions', { ...booth, id: booths.get(theirId) ?? theirId })
  }
  const mixtures = new Map(theirs.mixtures.map(({ id }) => [text(id), idFor('mixture', text(id))]))
  const mixture = (theirId: Row[string] | undefined) => mixtures.get(text(theirId)) ?? null
  for (const row of theirs.mixtures)
    comeIn(m, 'mixture', { ...row, id: mixture(row.id), root_id: mixture(row.root_id) })
  for (const part of theirs.parts)
    comeIn(m, 'mixture_part', {
      ...part,
      id: idFor('mixture_part', text(part.id)),
      mixture_id: mixture(part.mixture_id),
      root_id: mixture(part.root_id),
      material_id: need(m, 'material', part.material_id),
      child_id: mixture(part.child_id),
    })
  for (const layer of theirs.layers)
    comeIn(m, 'layer', {
      ...layer,
      id: idFor('layer', text(layer.id)),
      panel_id: panelId,
      mixture_id: mixture(layer.mixture_id),
      gun_setup_id: need(m, 'gun_setup', layer.gun_setup_id),
      booth_id: booths.get(text(layer.booth_id)) ?? null,
    })
}

/** Rows of our build, by table and id. */
export function* goingRows(ours: PanelUnit): Generator<string> {
  for (const { id } of ours.tags) yield keyOf('tag', text(id))
  for (const { id } of ours.layers) yield keyOf('layer', text(id))
  for (const { id } of ours.parts) yield keyOf('mixture_part', text(id))
  for (const { id } of ours.mixtures) yield keyOf('mixture', text(id))
  for (const id of ours.booths.keys()) yield keyOf('booth_conditions', id)
}

export function removeBuild(m: Merging, ours: PanelUnit): void {
  for (const { id } of ours.layers) goOut(m, 'layer', text(id))
  for (const { id } of ours.parts) goOut(m, 'mixture_part', text(id))
  // what lies in another mixture goes before it
  for (const { id } of ours.mixtures.filter((row) => row.id !== row.root_id)) goOut(m, 'mixture', text(id))
  for (const { id } of ours.mixtures.filter((row) => row.id === row.root_id)) goOut(m, 'mixture', text(id))
  for (const id of ours.booths.keys()) goOut(m, 'booth_conditions', id)
  for (const { id } of ours.tags) goOut(m, 'tag', text(id))
}
