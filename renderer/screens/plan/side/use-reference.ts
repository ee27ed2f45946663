import type { Failure } from '../../../../shared-core/contract/calls.ts'
import { noFilter } from '../../../../shared-core/records/panel.ts'
import type { Reading } from '../../../../shared-core/records/reading.ts'
import { coatsInWords } from '../../../parts/strokes.tsx'
import { useAnswer } from '../../../state/asking.ts'
import { usePanelOfStep } from '../../../state/panel-of-step.ts'
import { newestOf } from '../../match/reading-words.ts'

/** A reading of a panel has its own form of address, beside those of references. */
export const ofReading = 'reading-'

export type Wanted = { name: string; reading: Reading | null; error: Failure | null }

/** What is suggested for: a reference's newest reading, or a reading of a panel. Undefined while it is looked for. */
export function useReference(referenceId: string | null): Wanted | null | undefined {
  const readingId = referenceId?.startsWith(ofReading) ? referenceId.slice(ofReading.length) : null
  const reference = useAnswer('references.get', referenceId !== null && readingId === null ? { referenceId } : null)
  const found = useAnswer(
    'match.findNearest',
    readingId === null
      ? null
      : { to: { readingId }, filter: noFilter, readings: { view: null, lightId: null }, limit: 1 },
  )
  const panel = usePanelOfStep(found.value?.to.stepId ?? null)
  if (referenceId === null) return null
  const error = readingId === null ? reference.error : found.error
  if (error) return { name: '', reading: null, error }
  if (readingId === null) {
    if (!reference.value) return undefined
    const { name, readings } = reference.value.reference
    return { name, reading: newestOf(readings) ?? null, error: null }
  }
  if (!found.value) return undefined
  const { to } = found.value
  const coats = panel?.bands.find((band) => band.stepId === to.stepId)?.coats
  const name = panel ? `${panel.code} ${panel.title}`.trim() : 'a panel’s reading'
  return { name: coats === undefined ? name : `${name}, ${coatsInWords(coats)}`, reading: to, error: null }
}
