import type { Input, Output } from '../../../shared-core/contract/calls.ts'
import type { InstrumentMeasure, InstrumentSample } from '../../../shared-core/contract/exchange-calls.ts'
import type { Panel } from '../../../shared-core/records/panel.ts'

export type Inspected = Output<'exchange.inspect'>
export type Mapping = Input<'exchange.take'>['mapping']

/** Where samples go: a step's id, or the name of a new reference; samples that are not in it are left out. */
export type Goes = Readonly<Record<string, string>>

export const readyMeasures = (sample: InstrumentSample): InstrumentMeasure[] =>
  sample.measures.filter((measure) => measure.colour !== null)

export const notTaken = (sample: InstrumentSample): InstrumentMeasure[] =>
  sample.measures.filter((measure) => measure.notTaken !== null)

/** Something of it can be kept, now or once the questions are answered. */
export const canBeTaken = (sample: InstrumentSample): boolean => notTaken(sample).length < sample.measures.length

/**
 * What can be said without asking: samples whose name gives this panel's code and a number of coats that one step has,
 * and a single sample of a panel with a single step. Everything else is chosen by hand.
 */
export function proposedSteps(samples: readonly InstrumentSample[], panel: Panel): Goes {
  const usable = samples.filter(canBeTaken)
  const [onlySample] = usable
  const [onlyStep] = panel.steps
  if (usable.length === 1 && panel.steps.length === 1 && onlySample && onlyStep?.id)
    return { [onlySample.id]: onlyStep.id }
  const goes: Record<string, string> = {}
  for (const sample of usable) {
    if (!sample.name.toLowerCase().startsWith(panel.code.toLowerCase())) continue
    const said = sample.name.slice(panel.code.length)
    const coats = /(\d+(?:[.,]\d+)?)\s*coats?\b/i.exec(said)?.[1]?.replace(',', '.')
    const steps = coats === undefined ? [] : panel.steps.filter((step) => step.coats === Number(coats))
    if (steps.length === 1 && steps[0]?.id) goes[sample.id] = steps[0].id
  }
  return goes
}

/** A new reference is called as the sample is. */
export const proposedNames = (samples: readonly InstrumentSample[]): Goes => {
  const usable = samples.filter(canBeTaken)
  // a long list is a fan or a chart, of which one is wanted
  return usable.length > 8 ? {} : Object.fromEntries(usable.map(({ id, name }) => [id, name.slice(0, 200)]))
}

export function mappingOf(goes: Goes, to: 'step' | 'reference'): Mapping {
  return Object.entries(goes).map(([sampleId, where]) => ({
    sampleId,
    to: to === 'step' ? { kind: 'step', stepId: where } : { kind: 'reference', name: where.trim() },
  }))
}

/** How many readings would be kept. */
export const readingCount = (samples: readonly InstrumentSample[], goes: Goes): number =>
  samples.reduce((sum, sample) => sum + (Object.hasOwn(goes, sample.id) ? readyMeasures(sample).length : 0), 0)
