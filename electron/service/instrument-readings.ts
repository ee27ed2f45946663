import { v7 } from 'uuid'
import type { Input, Output } from '../../shared-core/contract/calls.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import { type Settled, type SettledMeasure, settle } from '../../shared-core/exchange/settle.ts'
import type { Stage } from '../../shared-core/records/colour.ts'
import type { BoundPart, Reading } from '../../shared-core/records/reading.ts'
import type { Changing } from '../rack/history/change.ts'
import type { Rack } from '../rack/opening/open.ts'
import { panelsOfSteps } from '../rack/queries/reading-export.ts'
import { addReading } from '../rack/queries/readings.ts'
import { addReference, getReference } from '../rack/queries/references.ts'
import { openMeasuredFile } from './measured-file.ts'

/**
 * dE00, 90 %, where nobody states one. One geometry: two instruments of one kind, put down anew on one flat panel.
 * Several angles: flake, and the tilt of the instrument, count for more. Both common practice, no source.
 */
const usualBound = { plain: 0.6, multiAngle: 1.2 }

/** What a file holds, as the page shows it. */
export async function inspectFile({ path, answers }: Input<'exchange.inspect'>): Promise<Output<'exchange.inspect'>> {
  const { digest, measured } = await openMeasuredFile(path)
  const settled = settle(measured, answers)
  return {
    digest,
    format: measured.format,
    instrument:
      settled.samples.flatMap(({ measures }) => measures).find((m) => m.instrument !== null)?.instrument ?? null,
    samples: settled.samples.map(({ name, measures }, i) => ({
      id: String(i),
      name,
      measures: measures.map(({ aspecularDeg, colour, notTaken }) => {
        if (!colour) return { aspecularDeg, colour, notTaken }
        const { spectrum, ...shown } = colour
        return { aspecularDeg, colour: { ...shown, fromSpectrum: spectrum !== null }, notTaken }
      }),
    })),
    questions: settled.questions,
    saidAs: measured.saidAs.slice(0, 20).map((said) => said.slice(0, 120)),
  }
}

type Target = Input<'exchange.take'>['mapping'][number]

/** Keeps samples as readings, all in one change. */
export async function takeReadings(rack: Rack, input: Input<'exchange.take'>): Promise<Output<'exchange.take'>> {
  const { digest, measured } = await openMeasuredFile(input.path)
  if (digest !== input.digest)
    throw new Refusal(
      'exchange/changed',
      'The file is not the one that was looked at: it changed meanwhile. Nothing was taken.',
      'Choose it again.',
    )
  const settled = settle(measured, input.answers)
  const chosen = input.mapping.map((target) => ({ target, measures: usable(settled, target) }))
  const count = chosen.reduce((sum, { measures }) => sum + measures.length, 0)
  const label = `take ${count === 1 ? 'a reading' : `${count} readings`} from ${input.name.slice(0, 120) || 'an instrument'}`
  return rack.change({ label }, async (change) => {
    const stepIds = [...new Set(input.mapping.flatMap(({ to }) => (to.kind === 'step' ? [to.stepId] : [])))]
    const panelOf = await panelsOfSteps(change.db, stepIds)
    if (stepIds.some((id) => !panelOf.has(id)))
      throw new Refusal(
        'step/absent',
        'A step chosen for these readings is not in the rack (any more). Nothing was taken.',
        'Choose the steps again.',
      )
    const readings: Reading[] = []
    const referenceIds = new Map<string, string>()
    for (const { target, measures } of chosen)
      for (const measure of measures) {
        const belongsTo = await ownerOf(change, target, referenceIds)
        const reading = readingOf(measure, belongsTo, input)
        await addReading(change, reading)
        readings.push(reading)
      }
    const panels = [...new Set(panelOf.values())]
    if (panels.length === 1 && referenceIds.size === 0) await change.relabel(label, panels[0])
    const references = []
    for (const id of referenceIds.values()) references.push(await getReference(change.db, id))
    return { readings, references }
  })
}

function usable(settled: Settled, { sampleId }: Target): SettledMeasure[] {
  const sample = /^\d{1,6}$/.test(sampleId) ? settled.samples[Number(sampleId)] : undefined
  if (!sample)
    throw new Refusal(
      'exchange/sample-absent',
      'A sample chosen is not in the file. Nothing was taken.',
      'Choose the file again.',
    )
  if (sample.measures.some((measure) => !measure.colour && !measure.notTaken))
    throw new Refusal(
      'exchange/unanswered',
      `Not everything about “${sample.name}” is known yet. Nothing was taken.`,
      'Answer the questions about light, observer, geometry and scale first.',
    )
  const measures = sample.measures.filter((measure) => measure.colour)
  if (measures.length === 0)
    throw new Refusal(
      'exchange/not-taken',
      `“${sample.name}” cannot be taken: ${sample.measures[0]?.notTaken?.message ?? ''} Nothing was taken.`,
      sample.measures[0]?.notTaken?.remedy ?? '',
    )
  return measures
}

async function ownerOf(
  change: Changing,
  { to }: Target,
  referenceIds: Map<string, string>,
): Promise<{ stepId: string } | { referenceId: string }> {
  if (to.kind === 'step') return { stepId: to.stepId }
  const known = referenceIds.get(to.name)
  if (known !== undefined) return { referenceId: known }
  const referenceId = v7()
  referenceIds.set(to.name, referenceId)
  await addReference(change, referenceId, to.name)
  return { referenceId }
}

function readingOf(
  { colour, instrument, takenAt }: SettledMeasure,
  belongsTo: { stepId: string } | { referenceId: string },
  { bound90, stage }: { bound90: number | null; stage: Stage },
): Reading {
  if (!colour) throw new Error('A measure without a colour became a reading')
  const part = boundOf(bound90, colour.geometry === 'multi-angle')
  return {
    id: v7(),
    stepId: 'stepId' in belongsTo ? belongsTo.stepId : null,
    referenceId: 'referenceId' in belongsTo ? belongsTo.referenceId : null,
    photoId: null,
    areaId: null,
    cut: null,
    lab: colour.lab,
    illuminant: colour.illuminant,
    observer: colour.observer,
    geometry: colour.geometry,
    level: 'instrument',
    bound90: part.de00,
    parts: [part],
    cautions: colour.cautions,
    lightId: null,
    view: colour.view,
    stage,
    ageDays: null,
    takenAt: takenAt ?? new Date().toISOString(),
    texture: null,
    setupId: null,
    spectrum: colour.spectrum,
    instrument,
  }
}

function boundOf(stated: number | null, isMultiAngle: boolean): BoundPart {
  if (stated !== null)
    return { cause: 'instrument', de00: stated, words: 'the instrument, with the bound stated for it' }
  const de00 = isMultiAngle ? usualBound.multiAngle : usualBound.plain
  const words = isMultiAngle
    ? 'the instrument: usual for several angles on flake, as none was stated'
    : 'the instrument: usual for one put down anew on a flat panel, as none was stated'
  return { cause: 'instrument', de00, words }
}
