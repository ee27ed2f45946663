import type { z } from 'zod'
import { Refusal } from '../contract/refusal.ts'
import type { Geometry, Illuminant, LabRecord, Observer } from '../records/colour.ts'
import type { SpectrumRecord } from '../records/reading.ts'

export type ExchangeFormat = 'cgats' | 'cxf' | 'csv'
/** Geometries of instruments: a camera is none. */
export type InstrumentGeometry = Exclude<Geometry, 'photo'>
/** Whether 1 or 100 is the perfect white of a spectrum. */
export type Scale = 'fraction' | 'percent'

/** Stated in a way that a reading can hold, or stated and beyond it (`other`, in the file's word). */
export type Stated<T extends string> = { is: T } | { other: string }

/** What a file states about a measurement; null where it states nothing that is understood. */
export type Conditions = {
  illuminant: Stated<Illuminant> | null
  observer: Stated<Observer> | null
  geometry: Stated<InstrumentGeometry> | null
  /** Aspecular angle in degrees: from the mirror's direction towards the light. */
  aspecularDeg: number | null
  scale: Scale | null
  instrument: string | null
  takenAt: string | null
}

/** One measurement as the file gives it: Lab, a spectrum, or both. */
export type Measure = Conditions & {
  lab: z.infer<typeof LabRecord> | null
  /** In the file's own scale. */
  spectrum: SpectrumRecord | null
  line: number
}

/** What was measured under one name; several measures only at several angles. */
export type Sample = { name: string; measures: Measure[] }

export type MeasuredFile = {
  format: ExchangeFormat
  samples: Sample[]
  /** Words about light, observer and geometry that are not understood: shown where the painter is asked instead. */
  saidAs: string[]
}

export const nothingStated: Conditions = {
  illuminant: null,
  observer: null,
  geometry: null,
  aspecularDeg: null,
  scale: null,
  instrument: null,
  takenAt: null,
}

/** Far more than a day's work with an instrument; what is larger is something else, or a mistake. */
export const mostBytes = 20 * 1024 ** 2
export const mostSamples = 20_000
/** No instrument looks from so many sides. */
const mostAngles = 40
/** Wavelengths of a spectrum by single nanometres, and room for the rest. */
export const mostColumns = 2000
/** Names longer than this are not names. */
const longestName = 400

/** @throws nothing: returns what to throw */
export const badFile = (line: number, what: string): Refusal =>
  new Refusal(
    'exchange/bad-file',
    `Line ${line}: ${what} Nothing was taken.`,
    'Export the file from the instrument again, or put that line right in a text editor.',
  )

export const tooManySamples = (): Refusal =>
  new Refusal(
    'exchange/too-large',
    `The file holds more than ${mostSamples.toLocaleString('en-GB')} measurements. Nothing was taken.`,
    'Export fewer at a time from the instrument.',
  )

export const tooLarge = (): Refusal =>
  new Refusal(
    'exchange/too-large',
    `The file is larger than ${mostBytes / 1024 ** 2} MB. Nothing was taken.`,
    'Export fewer measurements at a time from the instrument.',
  )

/**
 * Puts measurements that share a name and differ in angle together: one sample seen from several sides. Everything else
 * stays as it is, so that a sample measured twice is there twice.
 */
export function addMeasure(samples: Sample[], byName: Map<string, Sample>, name: string, measure: Measure): void {
  const short = name.trim().slice(0, longestName) || `Sample ${samples.length + 1}`
  const present = byName.get(short)
  const angle = measure.aspecularDeg
  const others = present && angle !== null && present.measures.length < mostAngles ? present.measures : null
  if (others?.every((m) => m.aspecularDeg !== null && m.aspecularDeg !== angle)) {
    others.push(measure)
    return
  }
  if (samples.length >= mostSamples) throw tooManySamples()
  const sample = { name: short, measures: [measure] }
  samples.push(sample)
  byName.set(short, sample)
}
