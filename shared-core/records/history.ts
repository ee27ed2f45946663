import { z } from 'zod'
import { Illuminant, LabRecord, Observer } from './colour.ts'
import { Day } from './day.ts'
import { Mixture } from './mixture.ts'
import { Panel } from './panel.ts'
import { Reading } from './reading.ts'

/** Of which panel an entry tells; null where it tells of several or of none. */
export const PanelNamed = z.object({
  id: z.string(),
  code: z.string(),
  title: z.string(),
  /** `gone`: its making was undone. */
  where: z.enum(['rack', 'trash', 'gone']),
})
export type PanelNamed = z.infer<typeof PanelNamed>

/** One change, or something that befell the rack as a whole, as the history shows it. */
export const HistoryEntry = z.object({
  id: z.string(),
  at: z.string(),
  who: z.string(),
  label: z.string(),
  /** What of it was changed, where the label does not say: "title, tags"; else empty. */
  brief: z.string(),
  /** Taken back, and not in force. */
  undone: z.boolean(),
  kind: z.enum(['change', 'event']),
  /** Something else was done instead, so that Redo does not lead to it any more. */
  leftBehind: z.boolean(),
  undoneAt: z.string().nullable(),
  undoneBy: z.string().nullable(),
  panel: PanelNamed.nullable(),
})
export type HistoryEntry = z.infer<typeof HistoryEntry>

/** One value as it was kept; amounts are in the record's units, and the screen says them in the user's. */
export const HistoryValue = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('text'), text: z.string() }),
  z.object({ kind: z.literal('names'), names: z.array(z.string()) }),
  z.object({ kind: z.literal('yes'), yes: z.boolean() }),
  z.object({ kind: z.literal('coats'), coats: z.number() }),
  z.object({ kind: z.literal('number'), value: z.number(), digits: z.int(), unit: z.string() }),
  z.object({
    kind: z.literal('quantity'),
    value: z.number(),
    measure: z.enum(['tip', 'distance', 'volume', 'mass', 'density', 'pressure', 'temperature']),
  }),
  z.object({ kind: z.literal('day'), day: Day }),
  z.object({ kind: z.literal('moment'), at: z.string() }),
  z.object({ kind: z.literal('mixture'), mixture: Mixture }),
  z.object({
    kind: z.literal('colour'),
    lab: LabRecord,
    bound90: z.number(),
    illuminant: Illuminant,
    observer: Observer,
  }),
])
export type HistoryValue = z.infer<typeof HistoryValue>

/** A fact before and after; null where there was none. */
export const FactPair = z.object({
  name: z.string(),
  before: HistoryValue.nullable(),
  after: HistoryValue.nullable(),
})
export type FactPair = z.infer<typeof FactPair>

/** Facts that belong together: "Layer 2, candy". */
export const FactGroup = z.object({
  name: z.string(),
  did: z.enum(['kept', 'changed', 'added', 'removed']),
  facts: z.array(FactPair),
})
export type FactGroup = z.infer<typeof FactGroup>

/** One thing that a change altered: a panel, a material, a photo, … */
export const ThingChanged = z.object({
  what: z.string(),
  name: z.string(),
  did: z.enum(['changed', 'added', 'removed']),
  panelId: z.string().nullable(),
  groups: z.array(FactGroup),
})
export type ThingChanged = z.infer<typeof ThingChanged>

/** A panel as it stood at some time, with everything that hung on it. */
export const PanelStood = z.object({
  panel: Panel,
  inTrash: z.boolean(),
  readings: z.array(Reading),
  photos: z.array(z.object({ id: z.string(), name: z.string(), sha256: z.string() })),
})
export type PanelStood = z.infer<typeof PanelStood>
