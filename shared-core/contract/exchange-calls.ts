import { z } from 'zod'
import { Geometry, Illuminant, LabRecord, Observer, Stage, View } from '../records/colour.ts'
import { PanelFilter } from '../records/panel.ts'
import { Caution } from '../records/photo.ts'
import { Reading, Reference } from '../records/reading.ts'
import { command, query } from './call.ts'

/** A file of an instrument: chosen, dropped, or handed over to the host's own folder. */
const file = { path: z.string().min(1).max(4000), name: z.string().max(1000) }

/** Geometries of instruments: all but a camera's. */
export const InstrumentGeometry = Geometry.exclude(['photo'])

/** What the painter answered where the file says nothing; null while unanswered. */
export const InstrumentAnswers = z.object({
  illuminant: Illuminant.nullable(),
  observer: Observer.nullable(),
  geometry: InstrumentGeometry.nullable(),
  scale: z.enum(['fraction', 'percent']).nullable(),
  view: View.nullable(),
})
export type InstrumentAnswers = z.infer<typeof InstrumentAnswers>

/** Something that the file does not say, for how many of its measurements. */
export const InstrumentQuestion = z.object({
  ask: InstrumentAnswers.keyof(),
  count: z.int().positive(),
  answered: z.boolean(),
})
export type InstrumentQuestion = z.infer<typeof InstrumentQuestion>

/** One measurement of a sample. Without a colour it waits for an answer, or is not taken. */
export const InstrumentMeasure = z.object({
  aspecularDeg: z.number().nullable(),
  colour: z
    .object({
      /** Computed to D50, 2° from a spectrum; otherwise as the file gives it. */
      lab: LabRecord,
      illuminant: Illuminant,
      observer: Observer,
      geometry: InstrumentGeometry,
      view: View,
      fromSpectrum: z.boolean(),
      cautions: z.array(Caution),
    })
    .nullable(),
  notTaken: Caution.nullable(),
})
export type InstrumentMeasure = z.infer<typeof InstrumentMeasure>

export const InstrumentSample = z.object({ id: z.string(), name: z.string(), measures: z.array(InstrumentMeasure) })
export type InstrumentSample = z.infer<typeof InstrumentSample>

const fileErrors = [
  'exchange/unreadable',
  'exchange/too-large',
  'exchange/unknown-format',
  'exchange/bad-file',
  'exchange/nothing-usable',
] as const

const exportFormat = z.enum(['cgats', 'cxf', 'csv'])

/** Readings from and to files of instruments. */
export const exchangeCalls = {
  /**
   * What a file of an instrument holds, given these answers; keeps nothing. `digest` names the file's content, so that
   * what is taken later is what was looked at.
   */
  'exchange.inspect': query({
    input: z.object({ ...file, answers: InstrumentAnswers }),
    output: z.object({
      digest: z.string(),
      format: exportFormat,
      instrument: z.string().nullable(),
      samples: z.array(InstrumentSample),
      questions: z.array(InstrumentQuestion),
      /** Words about light, observer or geometry that were not understood. */
      saidAs: z.array(z.string()),
    }),
    errors: fileErrors,
  }),
  /**
   * Keeps samples as readings of steps, or as new references, in one change: all of them or none. A sample of several
   * views gives one reading for each. `bound90`: what the instrument's maker or the painter states, or null for the usual.
   */
  'exchange.take': command({
    input: z.object({
      ...file,
      digest: z.string(),
      answers: InstrumentAnswers,
      stage: Stage,
      bound90: z.number().positive().max(50).nullable(),
      mapping: z
        .array(
          z.object({
            sampleId: z.string(),
            to: z.discriminatedUnion('kind', [
              z.object({ kind: z.literal('step'), stepId: z.string() }),
              z.object({ kind: z.literal('reference'), name: z.string().trim().min(1).max(200) }),
            ]),
          }),
        )
        .min(1)
        .max(2000),
    }),
    output: z.object({ readings: z.array(Reading), references: z.array(Reference) }),
    errors: [
      ...fileErrors,
      'exchange/changed',
      'exchange/unanswered',
      'exchange/sample-absent',
      'exchange/not-taken',
      'step/absent',
    ],
  }),
  /** Writes readings of panels into a file; `documentId` is fetched from the host. */
  'exchange.export': query({
    input: z.object({
      of: z.discriminatedUnion('kind', [
        z.object({ kind: z.literal('panels'), panelIds: z.array(z.string()).min(1).max(20_000) }),
        /** Every panel that the filter lets through; an empty filter is the whole rack. */
        z.object({ kind: z.literal('filter'), filter: PanelFilter }),
      ]),
      /** Leaves out what was read from photos or typed. */
      instrumentOnly: z.boolean(),
      format: exportFormat,
      /** Decimal sign of a CSV file; with a comma, semicolons keep the columns apart. */
      decimal: z.enum(['comma', 'point']),
    }),
    output: z.object({ documentId: z.string(), fileName: z.string(), readingCount: z.int(), panelCount: z.int() }),
    errors: ['panel/absent', 'exchange/no-readings'],
  }),
}
