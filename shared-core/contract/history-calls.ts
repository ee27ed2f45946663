import { z } from 'zod'
import { FactGroup, HistoryEntry, PanelNamed, PanelStood, ThingChanged } from '../records/history.ts'
import { command, query } from './call.ts'

/**
 * After which change of which panel, or `before` it, as before its first entry or before it was removed; `keepLater`: readings
 * and photos that came after it stay.
 */
const Then = {
  panelId: z.string(),
  changeId: z.string(),
  before: z.boolean().optional(),
  keepLater: z.boolean(),
}

/** Undo, redo, what was changed by whom and when, and a panel as it stood in the past. */
export const historyCalls = {
  'history.undo': command({
    input: z.object({}),
    output: z.object({ label: z.string() }),
    errors: ['history/nothing', 'history/conflict'],
  }),
  'history.redo': command({
    input: z.object({}),
    output: z.object({ label: z.string() }),
    errors: ['history/nothing', 'history/conflict'],
  }),
  /** Newest first; of one panel or of the whole rack. `next` asks for what comes after the last one, null: that is all. */
  'history.list': query({
    input: z.object({
      panelId: z.string().nullable(),
      who: z.string().nullable().optional(),
      before: z.string().nullable().optional(),
      limit: z.int().min(1).max(500),
    }),
    output: z.object({ entries: z.array(HistoryEntry), next: z.string().nullable() }),
    errors: [],
  }),
  /** Everybody who ever changed something. */
  'history.listPainters': query({
    input: z.object({}),
    output: z.object({ painters: z.array(z.string()) }),
    errors: [],
  }),
  /** Panels by code or title, also removed ones; without words, those removed last. */
  'history.findPanels': query({
    input: z.object({ words: z.string().max(200) }),
    output: z.object({ panels: z.array(PanelNamed) }),
    errors: [],
  }),
  /** One panel's name, also of one that was removed. `removal`: the change that put it into the trash, while it lies there. */
  'history.namePanel': query({
    input: z.object({ key: z.string() }),
    output: z.object({ panel: PanelNamed, removal: z.string().nullable() }),
    errors: ['panel/absent'],
  }),
  /** What a change altered, thing by thing; `more` counts the things that are not told. */
  'history.describe': query({
    input: z.object({ changeId: z.string() }),
    output: z.object({ things: z.array(ThingChanged), more: z.int() }),
    errors: ['history/absent', 'history/unknown'],
  }),
  /**
   * How a panel stood after a change or before it, how it stands now, and what restoring would alter. `notes` say what cannot come back
   * and what else would happen; `hindrance` why it cannot be restored.
   */
  'history.panelAt': query({
    input: z.object(Then),
    output: z.object({
      past: PanelStood.nullable(),
      now: PanelStood.nullable(),
      groups: z.array(FactGroup),
      differs: z.boolean(),
      notes: z.array(z.string()),
      hindrance: z.string().nullable(),
    }),
    errors: ['panel/absent', 'history/absent', 'history/unknown'],
  }),
  /** Brings a panel back to how it stood after a change or before it, as a new change. */
  'history.restorePanel': command({
    input: z.object(Then),
    output: z.object({ panelId: z.string(), code: z.string(), notes: z.array(z.string()) }),
    errors: ['panel/absent', 'history/absent', 'history/unknown', 'history/not-there', 'history/same'],
  }),
}
