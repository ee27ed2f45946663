import { v7 } from 'uuid'
import type { Geometry, Illuminant, Observer, Stage, View } from '../../shared-core/records/colour.ts'
import type { Reading } from '../../shared-core/records/reading.ts'

export type TypedColour = {
  lab: { l: number; a: number; b: number }
  illuminant: Illuminant
  observer: Observer
  geometry: Geometry
  bound90: number | null
  view: View
  stage: Stage
  lightId: string | null
}

/** dE00, 90 %, of a figure whose source states none: two instruments of one geometry on one panel; common practice, no source. */
const usualBound = 1

/** A colour given in figures, kept as it was given. */
export function typedReading(typed: TypedColour, belongsTo: { stepId: string } | { referenceId: string }): Reading {
  const bound90 = typed.bound90 ?? usualBound
  const words =
    typed.bound90 === null
      ? `typed, without a stated bound: ${usualBound.toFixed(1)} is assumed`
      : 'typed, with the bound that its source states'
  return {
    id: v7(),
    stepId: 'stepId' in belongsTo ? belongsTo.stepId : null,
    referenceId: 'referenceId' in belongsTo ? belongsTo.referenceId : null,
    photoId: null,
    areaId: null,
    lab: typed.lab,
    illuminant: typed.illuminant,
    observer: typed.observer,
    geometry: typed.geometry,
    level: 'typed',
    bound90,
    parts: [{ cause: 'typed', de00: bound90, words }],
    cautions: [],
    cut: null,
    lightId: typed.lightId,
    view: typed.view,
    stage: typed.stage,
    ageDays: null,
    takenAt: new Date().toISOString(),
  }
}
