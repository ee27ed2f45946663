import { z } from 'zod'
import { Geometry, Illuminant, Observer } from './colour.ts'
import { Basis, MaterialKind } from './mixture.ts'

/** A notebook typed up as a table: one row for each panel, and what its columns mean. */

/** Far more than a notebook of thousands of panels takes; what is larger is something else, or a mistake. */
export const mostBytes = 20 * 1024 ** 2
/** Coats of ground, clear and the like, of which a notebook seldom says a word: as a new panel's form starts. */
export const usualCoats = 2

/** What a column of the table is. */
export const ColumnUse = z.enum([
  'nothing',
  'code',
  'title',
  'ground',
  'formula',
  /** Name of a concentrate, or several names that one column of parts belongs to. */
  'candy',
  /** Parts of the concentrate in the candy column before it. */
  'parts',
  /** Parts of the material that the heading names. */
  'named-parts',
  /** The carrier's share ("6:1", "20"), its name, or both. */
  'carrier',
  'carrier-parts',
  'reducer',
  'hardener',
  'coats',
  'cleared',
  'clear-name',
  'sealer',
  'undercoat',
  'mid-coat',
  'sprayed-on',
  'sprayed-by',
  'substrate',
  'status',
  'tags',
  'notes',
  'gun',
  'tip',
  'pressure',
  'distance',
  'overlap',
  'temperature',
  'humidity',
  'flash-off',
  'lab-l',
  'lab-a',
  'lab-b',
  'bound',
])
export type ColumnUse = z.infer<typeof ColumnUse>

export const Separating = z.enum(['comma', 'semicolon', 'tab'])
export type Separating = z.infer<typeof Separating>

/** What the painter answered where the table leaves it open; null while unanswered, or found out from the table. */
export const NotebookAnswers = z.object({
  separator: Separating.nullable(),
  /** Whether there is a row of headings. */
  headings: z.boolean().nullable(),
  decimal: z.enum(['comma', 'point']).nullable(),
  dates: z.enum(['day-first', 'month-first']).nullable(),
  basis: Basis.nullable(),
  /** Whether a bare figure for the carrier is to one part of the blend, or in the same parts as the candies. */
  carrier: z.enum(['to-one-of-blend', 'same-parts']).nullable(),
  /** Coats where the table says none. */
  coats: z.number().min(0).max(60).nullable(),
  pressure: z.enum(['bar', 'psi', 'kPa']).nullable(),
  distance: z.enum(['mm', 'cm', 'in']).nullable(),
  temperature: z.enum(['°C', '°F']).nullable(),
  illuminant: Illuminant.nullable(),
  observer: Observer.nullable(),
  geometry: Geometry.exclude(['photo']).nullable(),
  /** Which step a row's one colour belongs to. */
  labStep: z.enum(['most', 'fewest']).nullable(),
})
export type NotebookAnswers = z.infer<typeof NotebookAnswers>

export const noNotebookAnswers: NotebookAnswers = {
  separator: null,
  headings: null,
  decimal: null,
  dates: null,
  basis: null,
  carrier: null,
  coats: null,
  pressure: null,
  distance: null,
  temperature: null,
  illuminant: null,
  observer: null,
  geometry: null,
  labStep: null,
}

/** What is done with what does not go in by itself. */
export const NotebookChoices = z.object({
  /** A code that a panel of the rack, or an earlier row, has already. Nothing is ever written over. */
  duplicates: z.enum(['leave-out', 'new-code']),
  /** A cell that is not understood: its row is left out, or the cell is kept in the panel's notes as it stands. */
  unread: z.enum(['leave-out', 'to-notes']),
  /** What the painter said of materials that the shelf does not have by that name. */
  materials: z
    .array(
      z.object({
        name: z.string().min(1).max(120),
        kind: MaterialKind,
        /** It is this one of the shelf, written otherwise. */
        materialId: z.string().nullable(),
      }),
    )
    .max(2000),
  /** What the source of the Lab figures states, dE00 90 %; null: the usual for typed figures. */
  bound90: z.number().positive().max(50).nullable(),
})
export type NotebookChoices = z.infer<typeof NotebookChoices>

export const usualNotebookChoices: NotebookChoices = {
  duplicates: 'leave-out',
  unread: 'leave-out',
  materials: [],
  bound90: null,
}
