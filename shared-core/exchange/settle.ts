import { differenceCiede2000 } from '../colour/difference.ts'
import { type Lab, lightnessOf } from '../colour/lab.ts'
import {
  missingTable,
  type SpectralIlluminant,
  samplingFault,
  spectrumToLab,
  spectrumToXyz,
} from '../colour/spectrum.ts'
import type { Illuminant, Observer, View } from '../records/colour.ts'
import type { Caution } from '../records/photo.ts'
import type { SpectrumRecord } from '../records/reading.ts'
import type { InstrumentGeometry, Measure, MeasuredFile, Scale, Stated } from './measured.ts'

/** What the painter answered where the file says nothing; null while unanswered. */
export type Answers = {
  illuminant: Illuminant | null
  observer: Observer | null
  geometry: InstrumentGeometry | null
  scale: Scale | null
  /** For an instrument of several angles whose file does not name them. */
  view: View | null
}
export type Asked = keyof Answers
export const noAnswers: Answers = { illuminant: null, observer: null, geometry: null, scale: null, view: null }

/** Something that the file does not say, for how many of its measurements, and whether it is answered. */
export type Question = { ask: Asked; count: number; answered: boolean }

export type SettledColour = {
  lab: Lab
  illuminant: Illuminant
  observer: Observer
  geometry: InstrumentGeometry
  view: View
  spectrum: SpectrumRecord | null
  cautions: Caution[]
}
export type SettledMeasure = {
  aspecularDeg: number | null
  /** Null while something is asked, and when it is not taken. */
  colour: SettledColour | null
  notTaken: Caution | null
  instrument: string | null
  takenAt: string | null
}
export type Settled = { samples: { name: string; measures: SettledMeasure[] }[]; questions: Question[] }

/** Nominal aspecular angles as in ASTM E2194. */
const viewAngles: readonly (readonly [number, View])[] = [
  [15, 'near-glare'],
  [45, 'face'],
  [110, 'flop'],
]

/** dE00 by which a file's own Lab may differ from its spectrum's before that is said: rounding and other weights stay below. */
const agreesWithin = 1

/**
 * Makes colours of what a file holds and the painter answered. A spectrum is computed to Lab D50, 2° (`spectrumToLab`);
 * Lab alone stays as it was given, with its illuminant and observer. Nothing is assumed: what neither file nor painter
 * says leaves a measure without a colour, and stands among the questions.
 */
export function settle(file: MeasuredFile, answers: Answers): Settled {
  const asked = new Map<Asked, number>()
  const scale = scaleOf(file)
  const samples = file.samples.map(({ name, measures }) => ({
    name,
    measures: measures.map((measure) =>
      settleMeasure(measure, scale, (ask) => {
        asked.set(ask, (asked.get(ask) ?? 0) + 1)
        return answers[ask] as never
      }),
    ),
  }))
  const questions = [...asked].map(([ask, count]) => ({ ask, count, answered: answers[ask] !== null }))
  return { samples, questions }
}

type Answer = <A extends Asked>(ask: A) => Answers[A]

function settleMeasure(measure: Measure, fileScale: Scale | null, answer: Answer): SettledMeasure {
  const { aspecularDeg, instrument, takenAt } = measure
  const result: SettledMeasure = { aspecularDeg, colour: null, notTaken: null, instrument, takenAt }
  const refuse = (message: string, remedy: string) => ({
    ...result,
    notTaken: { code: 'exchange/not-taken', message, remedy },
  })
  const other = otherGeometry(measure)
  if (other === 'camera') return refuse('It was read from a photo, not by an instrument.', 'Take the photo itself in.')
  if (other !== null)
    return refuse(
      `Its geometry is ${other}, which a reading here cannot say.`,
      'Measure at 45°:0°, with a sphere, or at several angles.',
    )
  const fault = measure.spectrum && samplingFault({ ...measure.spectrum, count: measure.spectrum.values.length })
  const spectrum = fault === null ? measure.spectrum : null
  if (!spectrum && !measure.lab)
    return refuse(
      fault ? `Its spectrum cannot be used: ${fault}.` : 'It holds neither Lab nor a spectrum.',
      'Export Lab as well, or a whole spectrum.',
    )
  const geometry = stated(measure.geometry) ?? answer('geometry')
  const angle = measure.aspecularDeg
  const view = angle === null ? viewWithout(geometry, answer) : viewAt(angle)
  if (view === 'none')
    return refuse(`${angle}° is none of the three views that a panel keeps.`, 'Near glare is 15°, face 45°, flop 110°.')
  const cautions: Caution[] = fault
    ? [{ code: 'exchange/spectrum-unused', message: `Its spectrum was not used: ${fault}.`, remedy: 'Its Lab was.' }]
    : []
  if (!spectrum) {
    const unknown = unknownStandard(measure)
    if (unknown)
      return refuse(
        `Its Lab is for ${unknown}, which a reading here cannot hold.`,
        'Export it for D50 and 2°, or as a spectrum.',
      )
    const illuminant = stated(measure.illuminant) ?? answer('illuminant')
    const observer = stated(measure.observer) ?? answer('observer')
    if (!geometry || !view || !illuminant || !observer || !measure.lab) return result
    return { ...result, colour: { lab: measure.lab, illuminant, observer, geometry, view, spectrum: null, cautions } }
  }
  const scale = measure.scale ?? fileScale ?? answer('scale')
  if (!geometry || !view || !scale) return result
  const factors = scale === 'percent' ? spectrum.values.map((value) => value / 100) : spectrum.values
  if (factors.some((value) => value < -0.1 || value > 3))
    return refuse(
      'Its reflectances lie outside of what a surface gives back.',
      'Look whether 1 or 100 is white in this file.',
    )
  const kept = { ...spectrum, values: factors }
  const lab = labOf(kept, 'D50')
  const differs = ownLabDiffers(measure, kept)
  return {
    ...result,
    colour: {
      lab,
      illuminant: 'D50',
      observer: '2',
      geometry,
      view,
      spectrum: kept,
      cautions: differs ? [...cautions, differs] : cautions,
    },
  }
}

const labOf = (spectrum: SpectrumRecord, illuminant: SpectralIlluminant): Lab =>
  spectrumToLab(spectrum.values, { ...spectrum, count: spectrum.values.length }, illuminant)

const stated = <T extends string>(said: Stated<T> | null): T | null => (said && 'is' in said ? said.is : null)

function otherGeometry({ geometry }: Measure): string | null {
  return geometry && 'other' in geometry ? geometry.other : null
}

function unknownStandard({ illuminant, observer }: Measure): string | null {
  if (illuminant && 'other' in illuminant) return `illuminant ${illuminant.other}`
  return observer && 'other' in observer ? `the observer ${observer.other}` : null
}

/** At 45°:0° the eye is 45° from the mirror's direction; a sphere has no angle, and its colour stands for the face. */
function viewWithout(geometry: InstrumentGeometry | null, answer: Answer): View | null {
  if (geometry === null) return null
  return geometry === 'multi-angle' ? answer('view') : 'face'
}

const viewAt = (angle: number): View | 'none' =>
  viewAngles.find(([nominal]) => Math.abs(nominal - angle) < 0.5)?.[1] ?? 'none'

/** The file's own Lab against its spectrum's, where our tables reach. */
function ownLabDiffers({ lab, illuminant, observer }: Measure, spectrum: SpectrumRecord): Caution | null {
  const light = stated(illuminant)
  const eye = stated(observer)
  if (!lab || !light || !eye || missingTable(light, eye) !== null) return null
  const difference = differenceCiede2000(lab, labOf(spectrum, light as SpectralIlluminant))
  if (difference <= agreesWithin) return null
  return {
    code: 'exchange/lab-differs',
    message: `The file’s own Lab differs from its spectrum by ${difference.toFixed(1)} dE00.`,
    remedy: 'The spectrum was used. Look in the instrument’s program whether both are of one measurement.',
  }
}

/**
 * Whether 1 or 100 is white, where the file does not say: above 3 it cannot be factors (no surface gives back three
 * times the light of the perfect white), and a Lab beside a spectrum tells by its lightness. Otherwise nobody knows: 0.9
 * may be a white by factors or a black in percent.
 */
function scaleOf({ samples }: MeasuredFile): Scale | null {
  const open = samples.flatMap(({ measures }) => measures).filter(({ spectrum, scale }) => spectrum && scale === null)
  if (open.some(({ spectrum }) => spectrum?.values.some((value) => value > 3))) return 'percent'
  const votes = open.map(scaleByLab).filter((vote) => vote !== null)
  return votes.length > 0 && votes.every((vote) => vote === votes[0]) ? (votes[0] ?? null) : null
}

/** Y of a surface hardly depends on the light, so D50 serves for any. */
function scaleByLab({ lab, spectrum }: Measure): Scale | null {
  if (!lab || !spectrum || samplingFault({ ...spectrum, count: spectrum.values.length }) !== null) return null
  const at = { ...spectrum, count: spectrum.values.length }
  const y = spectrumToXyz(spectrum.values, 'D50', at).y
  const asFraction = Math.abs(lightnessOf(y) - lab.l)
  const asPercent = Math.abs(lightnessOf(y / 100) - lab.l)
  if (Math.min(asFraction, asPercent) > 8 || Math.abs(asFraction - asPercent) < 8) return null
  return asFraction < asPercent ? 'fraction' : 'percent'
}
