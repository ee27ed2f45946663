import type { FilmSuspect } from '../../../shared-core/film/suspects.ts'
import type { Suspect } from '../../../shared-core/records/film.ts'
import type { FilmRack } from '../../rack/queries/film-observations.ts'
import type { Names } from './words.ts'

/** A step that does not fit, as the page tells it. */
export function suspectOf(rack: FilmRack, names: Names, found: FilmSuspect): Suspect {
  const step = rack.stepOfReading.get(found.id)
  const reading = step?.readings.usable.find(({ id }) => id === found.id)
  if (!step || !reading) throw new Error(`A suspect that is not on the rack: ${found.id}`)
  const { panelId, code, stepId, coats } = step
  const { expected, de00, allowed90, reason } = found
  const words = inWords(rack, names, found, step.ground, reading.fromPhoto)
  return {
    panelId,
    code,
    stepId,
    coats,
    readingId: found.id,
    read: reading.lab,
    expected,
    de00,
    allowed90,
    reason,
    words,
  }
}

/** The likely reason, and what to do. */
function inWords(rack: FilmRack, names: Names, found: FilmSuspect, ground: string, fromPhoto: boolean): string {
  const { reason, build, looksLike, insteadOf } = found
  const it = found.wholePanel ? 'The whole panel' : 'It'
  switch (reason) {
    case 'thin':
      return `${it} looks as if the film were ${percent(1 - build)} thinner than its coats and formula say. Count the coats again and check the reducer; if it was laid thin, write down the coats it amounts to.`
    case 'thick':
      return `${it} looks as if the film were ${percent(build - 1)} thicker than its coats and formula say. Count the coats again and check the carrier; if it was laid wet, write down the coats it amounts to.`
    case 'other-ground':
      return `${it} looks like ${looksLike === null ? 'another ground' : names.ground(looksLike)} beneath, not ${names.ground(ground)}. Look at the back of the panel and correct the ground if that is so.`
    case 'other-candy':
      return `${it} looks like ${looksLike === null ? 'another candy' : names.candy(looksLike)}${insteadOf === null ? '' : ` where the formula says ${names.candy(insteadOf)}`}. Check the formula against the notebook.`
    case 'contradicts': {
      const other = looksLike === null ? undefined : rack.stepOfReading.get(looksLike)?.code
      return `${other ?? 'Another panel'} has the same formula and reads otherwise. Read both again, best in one photo; one of them may have faded or come from another batch.`
    }
    case 'misread':
      return fromPhoto
        ? 'Neither film build nor another ground or candy explains it: probably misread. Photograph it again with the card, away from glare.'
        : 'Neither film build nor another ground or candy explains it: probably another step or panel was read. Check its figures, or read it again.'
  }
}
const percent = (share: number): string => `${Math.round(100 * share)} %`
