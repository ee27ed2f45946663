import { z } from 'zod'
import { LabRecord } from '../records/colour.ts'
import { MaterialKind } from '../records/mixture.ts'
import { ColumnUse, NotebookAnswers, NotebookChoices, Separating } from '../records/notebook.ts'
import { PanelDraft } from '../records/panel.ts'
import { job, query } from './call.ts'

/** A chosen or dropped file, and how it is to be understood. `columns`: null proposes what each column is. */
const wanted = {
  path: z.string().min(1).max(4000),
  name: z.string().max(1000),
  columns: z.array(ColumnUse).max(400).nullable(),
  answers: NotebookAnswers,
  choices: NotebookChoices,
}

export const NotebookColumn = z.object({
  heading: z.string(),
  /** Its first cells that are not empty. */
  samples: z.array(z.string()),
  use: ColumnUse,
})
export type NotebookColumn = z.infer<typeof NotebookColumn>

export const NotebookQuestion = z.object({
  ask: NotebookAnswers.keyof(),
  /** Rows that it concerns, and one such cell. */
  count: z.int().positive(),
  example: z.string(),
  answered: z.boolean(),
  /** Nothing is taken in before it is answered. */
  required: z.boolean(),
})
export type NotebookQuestion = z.infer<typeof NotebookQuestion>

/** What is wrong, or to be known, of some rows; rows are counted as a spreadsheet counts them. */
export const NotebookProblem = z.object({
  /** These rows are left out. */
  refused: z.boolean(),
  heading: z.string().nullable(),
  cell: z.string(),
  message: z.string(),
  remedy: z.string(),
  count: z.int().positive(),
  /** The first of them. */
  rows: z.array(z.int().positive()),
})
export type NotebookProblem = z.infer<typeof NotebookProblem>

/** A material that the shelf does not have by this name. */
export const NotebookMaterial = z.object({
  name: z.string(),
  kind: MaterialKind,
  /** Panels that name it. */
  count: z.int().positive(),
  /** It is this one of the shelf, as the painter said. */
  materialId: z.string().nullable(),
  /** One of the shelf that is written much alike. */
  near: z.object({ id: z.string(), name: z.string() }).nullable(),
})
export type NotebookMaterial = z.infer<typeof NotebookMaterial>

export const NotebookPanel = z.object({
  row: z.int().positive(),
  draft: PanelDraft,
  colours: z.array(z.object({ coats: z.number(), lab: LabRecord })),
  /** It waits for an answer. */
  waiting: z.boolean(),
})
export type NotebookPanel = z.infer<typeof NotebookPanel>

const fileErrors = [
  'notebook/unreadable',
  'notebook/too-large',
  'notebook/not-a-table',
  'notebook/no-rows',
  'notebook/columns',
] as const

/** Panels from a notebook that was typed up as a table. */
export const panelsCsvCalls = {
  /** What the table would become; keeps nothing. `digest` names the file's content, so that what is taken is what was seen. */
  'panelsCsv.preview': query({
    input: z.object(wanted),
    output: z.object({
      digest: z.string(),
      /** "UTF-8", "Windows-1252", … */
      encoding: z.string(),
      separator: Separating,
      headings: z.boolean(),
      /** The columns are as they were chosen for the last table with these headings. */
      asLastTime: z.boolean(),
      columns: z.array(NotebookColumn),
      /** As given, completed by those of the last table with these headings. */
      answers: NotebookAnswers,
      questions: z.array(NotebookQuestion),
      counts: z.object({
        rows: z.int(),
        /** Rows that become panels, answers given. */
        panels: z.int(),
        readings: z.int(),
        refused: z.int(),
        duplicates: z.int(),
        warned: z.int(),
        waiting: z.int(),
      }),
      problems: z.array(NotebookProblem),
      /** Kinds of trouble beyond those listed. */
      moreProblems: z.int(),
      materials: z.array(NotebookMaterial),
      /** The first that would hang. */
      panels: z.array(NotebookPanel),
    }),
    errors: fileErrors,
  }),
  /** Takes every panel that the preview counted, in one change: all of them or none. */
  'panelsCsv.import': job({
    input: z.object({ ...wanted, columns: z.array(ColumnUse).max(400), digest: z.string() }),
    output: z.object({ jobId: z.string() }),
    errors: [...fileErrors, 'notebook/changed', 'notebook/unanswered', 'notebook/nothing-to-take'],
  }),
  /** An example with the columns that are understood; `documentId` is fetched from the host. */
  'panelsCsv.writeModel': query({
    input: z.object({ decimal: z.enum(['comma', 'point']) }),
    output: z.object({ documentId: z.string(), fileName: z.string() }),
    errors: [],
  }),
}
