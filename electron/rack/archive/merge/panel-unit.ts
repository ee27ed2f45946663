import type { Row } from '../../history/rows.ts'
import { type Side, text } from './sides.ts'

/** A panel with all that is its alone. Readings, photos and what panels share are looked at by themselves. */
export type PanelUnit = {
  panel: Row
  tags: Row[]
  layers: Row[]
  booths: Map<string, Row>
  /** Each after the one that it lies in; of all layers. */
  mixtures: Row[]
  parts: Row[]
  steps: Row[]
}

export function panelUnit(side: Side, panel: Row): PanelUnit {
  const id = text(panel.id)
  const layers = side.all('select * from layer where panel_id = ? order by position, id', id)
  const booths = new Map<string, Row>()
  const mixtures: Row[] = []
  const parts: Row[] = []
  for (const { booth_id, mixture_id } of layers) {
    const booth = booth_id === null ? undefined : side.get('booth_conditions', text(booth_id))
    if (booth) booths.set(text(booth.id), booth)
    if (mixture_id === null || mixture_id === undefined) continue
    const root = side.get('mixture', text(mixture_id))
    if (!root) continue
    mixtures.push(
      root,
      ...side.all('select * from mixture where root_id = ? and id <> root_id order by id', text(mixture_id)),
    )
    parts.push(...side.all('select * from mixture_part where root_id = ? order by position, id', text(mixture_id)))
  }
  return {
    panel,
    tags: side.all('select * from tag where panel_id = ? order by position, id', id),
    layers,
    booths,
    mixtures,
    parts,
    steps: side.all('select * from step where panel_id = ? order by position, id', id),
  }
}

/** By which the materials and gun set-ups of both racks are known as the same. */
export type Known = (table: 'material' | 'gun_setup', id: string) => string

const panelFacts = ['title', 'status', 'sprayed_on', 'sprayed_by', 'substrate', 'notes'] as const
export type PanelFact = (typeof panelFacts)[number]

/** What a panel says, without the ids of its rows: equal values are the same panel in the same state. */
export function contentOf(unit: PanelUnit, known: Known) {
  const pick = (row: Row, names: readonly string[]) => names.map((name) => row[name] ?? null)
  const mixtures = new Map(unit.mixtures.map((row) => [text(row.id), row]))
  const partsOf = Map.groupBy(unit.parts, (part) => text(part.mixture_id))
  const treeOf = (id: string, depth: number): unknown => {
    const mixture = mixtures.get(id)
    // a tree that leads back into itself is no formula
    if (!mixture || depth > 40) return null
    return [
      ...pick(mixture, ['name', 'basis']),
      (partsOf.get(id) ?? []).map((part) => [
        ...pick(part, ['amount', 'unit']),
        part.material_id === null ? null : known('material', text(part.material_id)),
        part.child_id === null ? null : treeOf(text(part.child_id), depth + 1),
      ]),
    ]
  }
  return {
    facts: Object.fromEntries(panelFacts.map((name) => [name, unit.panel[name] ?? null])),
    tags: unit.tags.map(({ name }) => name),
    layers: unit.layers.map((layer) => {
      const booth = layer.booth_id === null ? undefined : unit.booths.get(text(layer.booth_id))
      return [
        ...pick(layer, ['kind', 'name', 'coats', 'notes']),
        layer.gun_setup_id === null ? null : known('gun_setup', text(layer.gun_setup_id)),
        booth ? pick(booth, ['temperature_c', 'humidity_percent', 'flash_off_min', 'reducer_grade']) : null,
        layer.mixture_id === null ? null : treeOf(text(layer.mixture_id), 0),
      ]
    }),
    steps: unit.steps.map(({ coats, notes }) => [coats ?? null, notes ?? null]),
  }
}
export type PanelContent = ReturnType<typeof contentOf>

const wordsOf: Readonly<Record<PanelFact, string>> = {
  title: 'title',
  status: 'status',
  sprayed_on: 'day',
  sprayed_by: 'who sprayed it',
  substrate: 'substrate',
  notes: 'notes',
}

const same = (a: unknown, b: unknown): boolean => JSON.stringify(a) === JSON.stringify(b)

/** In words, what differs; none: both say the same. */
export function differences(theirs: PanelContent, ours: PanelContent): string[] {
  const words: string[] = panelFacts
    .filter((name) => theirs.facts[name] !== ours.facts[name])
    .map((name) => wordsOf[name])
  if (!same(theirs.tags, ours.tags)) words.push('tags')
  if (!same(theirs.layers, ours.layers)) words.push('layers and formula')
  return words
}

/** What makes two panels of different ids probably the same one. */
export const isProbablySame = (theirs: PanelContent, ours: PanelContent): boolean =>
  theirs.facts.title === ours.facts.title &&
  theirs.facts.sprayed_on === ours.facts.sprayed_on &&
  same(theirs.layers, ours.layers)
