import { Refusal } from '../../contract/refusal.ts'
import {
  addMeasure,
  badFile,
  type Conditions,
  type Measure,
  type MeasuredFile,
  nothingStated,
  type Sample,
} from '../measured.ts'
import { checkedLab, checkedSpectrum } from './columns.ts'
import { parseFigure, saidGeometry, saidIlluminant, saidMoment, saidObserver } from './words.ts'
import { below, childOf, everyIn, readXml, textOf, type XmlElement } from './xml.ts'

export const cxfNamespace = 'http://colorexchangeformat.com/CxF3-core'

/** Measurements of one object in one file: angles, times with and without ultraviolet. */
const mostOfObject = 100

type Specification = Conditions & { startNm: number | null; stepNm: number | null }

/**
 * CxF3 (ISO 17972): each object's reflectance spectra, CIELab and CIELCh, with the specification that each names. Names
 * of elements as the published CxF3-core schema has them; its reflectances are factors (above −0.1, below 3).
 */
export function readCxf(text: string): MeasuredFile {
  const root = readXml(text)
  if (root.name !== 'CxF' || root.space !== cxfNamespace)
    throw new Refusal(
      'exchange/unknown-format',
      root.name === 'CxF'
        ? 'This is a CxF file of another version than 3. Nothing was taken.'
        : `This XML file is no CxF3 file: it begins with “${root.name.slice(0, 60)}”. Nothing was taken.`,
      'Export from the instrument as CxF3, CGATS or CSV.',
    )
  const saidAs = new Set<string>()
  const resources = childOf(root, 'Resources')
  const specifications = new Map<string, Specification>()
  for (const element of childOf(resources, 'ColorSpecificationCollection')?.children ?? [])
    specifications.set(element.attributes.get('Id') ?? '', specificationOf(element, saidAs))
  const samples: Sample[] = []
  const byName = new Map<string, Sample>()
  for (const object of everyIn(childOf(resources, 'ObjectCollection'), 'Object')) {
    const name = object.attributes.get('Name') || object.attributes.get('Id') || ''
    const measures = measuresOf(object, specifications)
    if (measures.length > mostOfObject) throw badFile(object.line, `${measures.length} colours stand under one name.`)
    const alike = (one: Keyed) => measures.filter((other) => other.measure.aspecularDeg === one.measure.aspecularDeg)
    // one thing measured in several ways at one angle (with and without ultraviolet): each is a sample of its own
    for (const one of measures)
      addMeasure(samples, byName, alike(one).length > 1 ? `${name} (${one.key})` : name, one.measure)
  }
  return { format: 'cxf', samples, saidAs: [...saidAs] }
}

function specificationOf(element: XmlElement, saidAs: Set<string>): Specification {
  const tristimulus = childOf(element, 'TristimulusSpec')
  const measurement = childOf(element, 'MeasurementSpec')
  const understood = <T>(said: string, read: (text: string) => T | null): T | null => {
    const value = read(said)
    if (value === null && said !== '') saidAs.add(said)
    return value
  }
  const range = childOf(measurement, 'WavelengthRange')
  const model = textOf(below(measurement, 'Device', 'Model'))
  return {
    ...nothingStated,
    ...geometryOf(childOf(measurement, 'GeometryChoice'), saidAs),
    illuminant: understood(textOf(childOf(tristimulus, 'Illuminant')), saidIlluminant),
    observer: understood(textOf(childOf(tristimulus, 'Observer')), saidObserver),
    instrument: model === '' ? null : model.slice(0, 120),
    scale: 'fraction',
    startNm: figureIn(range, 'StartWL'),
    stepNm: figureIn(range, 'Increment'),
  }
}

function geometryOf(
  choice: XmlElement | undefined,
  saidAs: Set<string>,
): Pick<Conditions, 'geometry' | 'aspecularDeg'> {
  const single = childOf(choice, 'SingleAngle')
  if (single) {
    const light = Number(textOf(childOf(single, 'IlluminationAngle')))
    const eye = Number(textOf(childOf(single, 'MeasurementAngle')))
    return saidGeometry(`${light}:${eye}`)
  }
  const multi = childOf(choice, 'MultiAngle')
  if (multi) {
    const angles = everyIn(multi, 'Aspecular').map((angle) => parseFigure(textOf(angle), 'point'))
    // several angles in one specification do not say which of them a spectrum belongs to
    return { geometry: { is: 'multi-angle' }, aspecularDeg: angles.length === 1 ? (angles[0] ?? null) : null }
  }
  const said = textOf(childOf(choice, 'SphereGeometry')) || textOf(childOf(choice, 'UnknownGeometry'))
  const { geometry, aspecularDeg } = saidGeometry(said)
  if (!geometry && said !== '') saidAs.add(said)
  return { geometry, aspecularDeg }
}

function figureIn(element: XmlElement | undefined, attribute: string): number | null {
  const said = element?.attributes.get(attribute)
  if (said === undefined) return null
  const value = parseFigure(said, 'point')
  if (value === null) throw badFile(element?.line ?? 1, `“${said.slice(0, 40)}” is not a wavelength.`)
  return value
}

/** A measure, and what sets it apart from others of its object. */
type Keyed = { key: string; measure: Measure }

function measuresOf(object: XmlElement, specifications: ReadonlyMap<string, Specification>): Keyed[] {
  const made = saidMoment(textOf(childOf(object, 'CreationDate')))
  const values = childOf(object, 'ColorValues')?.children ?? []
  if (values.length > 4 * mostOfObject) throw badFile(object.line, `${values.length} colours stand under one name.`)
  const found: Keyed[] = []
  const specOf = (element: XmlElement): [string, Conditions, Specification | undefined] => {
    const key = element.attributes.get('ColorSpecification') ?? ''
    const specification = specifications.get(key)
    const {
      startNm: _start,
      stepNm: _step,
      ...conditions
    } = specification ?? { ...nothingStated, startNm: null, stepNm: null }
    const takenAt = saidMoment(element.attributes.get('MeasureDate') ?? '') ?? made
    return [key, { ...conditions, takenAt }, specification]
  }
  for (const element of values) {
    if (element.name !== 'ReflectanceSpectrum') continue
    const [key, conditions, specification] = specOf(element)
    const spectrum = spectrumIn(element, specification)
    found.push({ key, measure: { ...conditions, scale: 'fraction', lab: null, spectrum, line: element.line } })
  }
  for (const element of values) {
    if (element.name !== 'ColorCIELab' && element.name !== 'ColorCIELCh') continue
    const [key, conditions] = specOf(element)
    const lab = labIn(element)
    // a Lab of the same measurement goes with its spectrum, so that each can be held against the other
    const own = found.find(
      ({ measure }) =>
        measure.aspecularDeg === conditions.aspecularDeg &&
        (isUnknown(measure) || isUnknown(conditions) || sameGeometry(measure, conditions)),
    )
    if (!own) found.push({ key, measure: { ...conditions, lab, spectrum: null, line: element.line } })
    else if (!own.measure.lab || isPlain(conditions)) {
      const { illuminant, observer } = conditions
      own.measure = { ...own.measure, lab, illuminant, observer, geometry: own.measure.geometry ?? conditions.geometry }
    }
  }
  return found
}

const isUnknown = (conditions: Conditions): boolean => conditions.geometry === null
const sameGeometry = (a: Conditions, b: Conditions): boolean =>
  JSON.stringify(a.geometry) === JSON.stringify(b.geometry)
const isPlain = ({ illuminant, observer }: Conditions): boolean =>
  illuminant !== null &&
  'is' in illuminant &&
  illuminant.is === 'D50' &&
  observer !== null &&
  'is' in observer &&
  observer.is === '2'

function spectrumIn(element: XmlElement, specification: Specification | undefined): Measure['spectrum'] {
  const words = textOf(element).split(/\s+/).filter(Boolean)
  const values = words.map((word) => {
    const value = parseFigure(word, 'point')
    if (value === null) throw badFile(element.line, `“${word.slice(0, 40)}” is not a number.`)
    return value
  })
  const startNm = figureIn(element, 'StartWL') ?? specification?.startNm ?? null
  const stepNm = figureIn(element, 'Increment') ?? specification?.stepNm ?? null
  if (startNm === null || stepNm === null)
    throw badFile(element.line, 'the file does not say at which wavelengths this spectrum was measured.')
  if (values.length < 4) throw badFile(element.line, `a spectrum of ${values.length} values is too short.`)
  return checkedSpectrum({ startNm, stepNm, values }, element.line)
}

function labIn(element: XmlElement): NonNullable<Measure['lab']> {
  const part = (name: string): number => {
    const said = textOf(childOf(element, name))
    const value = parseFigure(said, 'point')
    if (value === null) throw badFile(element.line, `“${said.slice(0, 40)}” at ${name} is not a number.`)
    return value
  }
  const l = part('L')
  if (element.name === 'ColorCIELab') return checkedLab({ l, a: part('A'), b: part('B') }, element.line)
  const chroma = part('C')
  const hue = (part('H') * Math.PI) / 180
  return checkedLab({ l, a: chroma * Math.cos(hue), b: chroma * Math.sin(hue) }, element.line)
}
