import { z } from 'zod'
import { Light } from '../records/colour.ts'
import { Material } from '../records/mixture.ts'
import { GunSetup, Panel, PanelDraft, PanelFilter, PanelSort, PanelSummary } from '../records/panel.ts'
import { Photo } from '../records/photo.ts'
import { Reading } from '../records/reading.ts'
import { HangingGroup, PanelChange, PanelGroup, SavedSearch, SkippedPanels, WordTaken } from '../records/wall.ts'
import { command, query } from './call.ts'

/** Panels and what their formulas are made of. */
export const panelCalls = {
  /** For short lists. `limit` left out: all that fit. `corrected` is there where a word was taken for another. */
  'panels.list': query({
    input: z.object({ filter: PanelFilter, sort: PanelSort, limit: z.int().min(1).max(10_000).optional() }),
    output: z.object({ panels: z.array(PanelSummary), total: z.int(), corrected: z.array(WordTaken).optional() }),
    errors: [],
  }),
  /**
   * Which panels fit and how they hang, without what they show. Groups stand one behind the other and cover all `ids`;
   * with `none` there is one, without a name. `total`: panels in the rack. Equals hang by code.
   */
  'panels.order': query({
    input: z.object({ filter: PanelFilter, sort: PanelSort, group: PanelGroup }),
    output: z.object({
      ids: z.array(z.string()),
      groups: z.array(HangingGroup),
      total: z.int(),
      /** Words that no panel has, and the words of the rack that were taken instead. */
      corrected: z.array(WordTaken),
    }),
    errors: [],
  }),
  /**
   * What these panels show, in the order of `ids`, and then the panels of `stepIds`, each once; those that are not there (any
   * more) are left out.
   */
  'panels.summaries': query({
    input: z.object({ ids: z.array(z.string()).max(200), stepIds: z.array(z.string()).max(200).optional() }),
    output: z.object({ panels: z.array(PanelSummary) }),
    errors: [],
  }),
  /** Everything about one panel; `key` is its id or its code. */
  'panels.get': query({
    input: z.object({ key: z.string().min(1).max(100) }),
    output: z.object({ panel: Panel, summary: PanelSummary, readings: z.array(Reading), photos: z.array(Photo) }),
    errors: ['panel/absent'],
  }),
  'panels.nextCode': query({ input: z.object({}), output: z.object({ code: z.string() }), errors: [] }),
  /** Makes a panel, or changes one. A step that has readings is never dropped. */
  'panels.save': command({
    input: z.object({ draft: PanelDraft }),
    output: z.object({ panel: Panel }),
    errors: ['panel/absent', 'panel/code-taken', 'panel/step-has-readings'],
  }),
  'panels.remove': command({
    input: z.object({ panelId: z.string() }),
    output: z.object({}),
    errors: ['panel/absent'],
  }),
  /**
   * Changes panels all at once, with one undo. `changed` counts those that are now otherwise than before; `skipped` says
   * which could not be changed, and why.
   */
  'panels.changeMany': command({
    input: z.object({ panelIds: z.array(z.string()).min(1).max(10_000), change: PanelChange }),
    output: z.object({ changed: z.int(), skipped: z.array(SkippedPanels) }),
    errors: [],
  }),
  /** What the rack's panels can be narrowed by. */
  'panels.listWords': query({
    input: z.object({}),
    output: z.object({ grounds: z.array(z.string()), candies: z.array(z.string()), tags: z.array(z.string()) }),
    errors: [],
  }),
  'materials.list': query({ input: z.object({}), output: z.object({ materials: z.array(Material) }), errors: [] }),
  'gunSetups.list': query({ input: z.object({}), output: z.object({ gunSetups: z.array(GunSetup) }), errors: [] }),
  'lights.list': query({ input: z.object({}), output: z.object({ lights: z.array(Light) }), errors: [] }),
  'lights.add': command({
    input: z.object({ name: z.string().trim().min(1).max(80), kelvin: z.number().min(1000).max(40_000).nullable() }),
    output: z.object({ light: Light }),
    errors: ['light/name-taken'],
  }),
  /** By name. */
  'searches.list': query({ input: z.object({}), output: z.object({ searches: z.array(SavedSearch) }), errors: [] }),
  /** Keeps what is asked for under a name. `replace`: in place of the search that has the name already. */
  'searches.save': command({
    input: SavedSearch.omit({ id: true }).extend({ replace: z.boolean().optional() }),
    output: z.object({ search: SavedSearch }),
    errors: ['search/name-taken'],
  }),
  'searches.rename': command({
    input: SavedSearch.pick({ id: true, name: true }),
    output: z.object({ search: SavedSearch }),
    errors: ['search/absent', 'search/name-taken'],
  }),
  'searches.remove': command({
    input: SavedSearch.pick({ id: true }),
    output: z.object({}),
    errors: ['search/absent'],
  }),
}
