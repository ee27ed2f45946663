import { z } from 'zod'
import { Light } from '../records/colour.ts'
import { Material } from '../records/mixture.ts'
import { GunSetup, Panel, PanelDraft, PanelFilter, PanelSort, PanelSummary } from '../records/panel.ts'
import { Photo } from '../records/photo.ts'
import { Reading } from '../records/reading.ts'
import { command, query } from './call.ts'

/** Panels and what their formulas are made of. */
export const panelCalls = {
  'panels.list': query({
    input: z.object({ filter: PanelFilter, sort: PanelSort }),
    output: z.object({ panels: z.array(PanelSummary), total: z.int() }),
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
}
