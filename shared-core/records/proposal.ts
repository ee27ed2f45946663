import { z } from 'zod'
import { Layout, Quad } from './area.ts'
import { Stage, View } from './colour.ts'
import { Caution } from './photo.ts'
import { SheetOnPhoto } from './photo-sheet.ts'

/** From here on a thing that was found is drawn as found; below it is offered as a guess. */
export const surely = 0.5

/** Something found in a photo that nobody marked; upright photo pixels, clockwise. */
export const FoundThing = z.object({
  quad: Quad,
  /** How likely it is what it is taken for, with each corner near enough to read from. */
  confidence: z.number().min(0).max(1),
})
export type FoundThing = z.infer<typeof FoundThing>

export const FoundPanel = FoundThing.extend({
  /** Strips of a panel that was taped in steps, side by side from one end to the other; none: it is of one piece. */
  steps: z.array(Quad).max(40),
})
export type FoundPanel = z.infer<typeof FoundPanel>

/** A two-dimensional symbol that was read (ISO/IEC 18004). */
export const FoundSymbol = z.object({ text: z.string().max(500), quad: Quad })
export type FoundSymbol = z.infer<typeof FoundSymbol>

export const FoundSheet = SheetOnPhoto.extend({
  confidence: z.number().min(0).max(1),
  /** Largest distance of a seen corner from where it should be, in millimetres on the page: a bent or folded sheet. */
  bentMm: z.number().nonnegative(),
})
export type FoundSheet = z.infer<typeof FoundSheet>

/** All that was found in one photo. Lists go from sure to unsure. */
export const Found = z.object({
  panels: z.array(FoundPanel).max(20),
  cards: z.array(FoundThing).max(20),
  /** Its corners start at patch 1 and go on with 6, 24 and 19, where it could be told. */
  chart: FoundThing.nullable(),
  sheet: FoundSheet.nullable(),
  symbols: z.array(FoundSymbol).max(40),
})
export type Found = z.infer<typeof Found>

/** What is proposed for a photo of the tray: all that filing it needs, as far as it could be told. */
export const Proposal = z.object({
  photoId: z.string(),
  /** `waiting`: nobody has looked at it yet; `failed`: it cannot be looked at, and why stands in `doubts`. */
  state: z.enum(['waiting', 'made', 'failed']),
  found: Found.nullable(),
  /** Ready to be filed: its areas name steps where the panel is known. Null: nothing that could be filed. */
  layout: Layout.nullable(),
  panelId: z.string().nullable(),
  panelCode: z.string().nullable(),
  panelTitle: z.string().nullable(),
  lightId: z.string().nullable(),
  setupId: z.string().nullable(),
  view: View,
  stage: Stage,
  ageDays: z.number().nonnegative().nullable(),
  /** Why it is not to be filed unseen, worst first. None: it may go with the batch. */
  doubts: z.array(Caution),
  /** An earlier photo of the same panel that this one seems to be taken again for. */
  retakeOf: z.object({ photoId: z.string(), name: z.string(), filed: z.boolean() }).nullable(),
  /** What the phone that sent it said; words as typed. */
  said: z.object({ panel: z.string(), light: z.string() }).nullable(),
})
export type Proposal = z.infer<typeof Proposal>
