import { add, divide, fromNumber, multiply, type Rational, rational, subtract, zero } from '../rational.ts'

/** What is being measured. A tip is given in millimetres everywhere (common practice, no source). */
export type Measure =
  | 'tip'
  | 'distance'
  | 'area'
  | 'thickness'
  | 'volume'
  | 'mass'
  | 'density'
  | 'pressure'
  | 'temperature'

export type Unit = {
  readonly shown: string
  /** As typed, in lower case, without blanks and full stops. */
  readonly names: readonly string[]
  /** Value in the record's unit = (typed + offset) × factor, exactly. */
  readonly factor: Rational
  readonly offset: Rational
}

/*
 * Exact factors. Sources: NIST Special Publication 811 (2008), appendix B (inch = 25.4 mm, mil = 0.001 in, pound =
 * 0.453 592 37 kg, standard gravity 9.806 65 m/s², bar, degree Fahrenheit); NIST Handbook 44, appendix C (US gallon of
 * 231 cubic inches and its divisions, avoirdupois ounce = pound / 16).
 */
const ratio = (over: number, under = 1): Rational => divide(fromNumber(over), fromNumber(under))
const inchMm = ratio(25.4)
const footMm = multiply(inchMm, ratio(12))
const squared = (value: Rational): Rational => multiply(value, value)
const squareMm = ratio(1, 1_000_000)
const poundG = ratio(453.59237)
/** A cubic inch is 25.4³ mm³, and 1,000 mm³ are a millilitre. */
const gallonMl = multiply(ratio(231, 1000), multiply(inchMm, squared(inchMm)))
/** Pound-force over a square inch: kg × m/s² ÷ m² is pascal; the thousands are kilo, and mm² in m². */
const psiKpa = divide(
  multiply(multiply(poundG, ratio(1, 1000)), ratio(9.80665)),
  multiply(squared(inchMm), ratio(0.001)),
)

const unit = (shown: string, factor: Rational | number, names: string, offset = zero): Unit => ({
  shown,
  names: names.split(' '),
  factor: typeof factor === 'number' ? fromNumber(factor) : factor,
  offset,
})

const length: readonly Unit[] = [
  unit('mm', 1, 'mm millimetre millimetres millimeter millimeters'),
  unit('cm', 10, 'cm centimetre centimetres centimeter centimeters'),
  unit('m', 1000, 'm metre metres meter meters'),
  unit('in', inchMm, `in inch inches " ″ ” ''`),
  unit('ft', footMm, `ft foot feet ' ′ ’`),
]

/** Records hold mm, m², µm, mL, g, kg/L, kPa and °C. */
export const unitTable: Readonly<Record<Measure, readonly Unit[]>> = {
  tip: length,
  distance: length,
  area: [
    unit('m²', 1, 'm² m2 sqm squaremetre squaremetres squaremeter squaremeters'),
    unit('dm²', 0.01, 'dm² dm2'),
    unit('cm²', 0.0001, 'cm² cm2 sqcm squarecentimetres squarecentimeters'),
    unit('mm²', squareMm, 'mm² mm2 sqmm'),
    unit('in²', multiply(squared(inchMm), squareMm), 'in² in2 sqin squareinch squareinches'),
    unit('ft²', multiply(squared(footMm), squareMm), 'ft² ft2 sqft squarefoot squarefeet'),
  ],
  thickness: [
    // Both the micro sign and the Greek letter are on keyboards.
    unit('µm', 1, 'µm μm um micron microns micrometre micrometres micrometer micrometers'),
    unit('mil', inchMm, 'mil mils thou'),
    unit('mm', 1000, 'mm millimetre millimetres millimeter millimeters'),
    unit('in', multiply(inchMm, ratio(1000)), 'in inch inches " ″ ”'),
  ],
  volume: [
    unit('mL', 1, 'ml cc cm3 cm³ millilitre millilitres milliliter milliliters'),
    unit('cL', 10, 'cl centilitre centilitres centiliter centiliters'),
    unit('dL', 100, 'dl decilitre decilitres deciliter deciliters'),
    unit('L', 1000, 'l litre litres liter liters'),
    unit('fl oz', multiply(gallonMl, ratio(1, 128)), 'floz oz ounce ounces fluidounce fluidounces'),
    unit('pt', multiply(gallonMl, ratio(1, 8)), 'pt pint pints'),
    unit('qt', multiply(gallonMl, ratio(1, 4)), 'qt quart quarts'),
    unit('gal', gallonMl, 'gal gallon gallons'),
  ],
  mass: [
    unit('g', 1, 'g gr gram grams gramme grammes'),
    unit('mg', 0.001, 'mg milligram milligrams'),
    unit('kg', 1000, 'kg kilo kilos kilogram kilograms'),
    unit('oz', multiply(poundG, ratio(1, 16)), 'oz ounce ounces'),
    unit('lb', poundG, 'lb lbs pound pounds'),
  ],
  density: [
    unit('kg/L', 1, 'kg/l g/ml g/cm3 g/cm³ g/cc'),
    unit('g/L', 0.001, 'g/l kg/m3 kg/m³'),
    unit('lb/gal', divide(poundG, gallonMl), 'lb/gal lbs/gal lb/usgal ppg'),
  ],
  pressure: [
    unit('kPa', 1, 'kpa'),
    unit('bar', 100, 'bar bars'),
    unit('mbar', 0.1, 'mbar hpa'),
    unit('MPa', 1000, 'mpa'),
    unit('psi', psiKpa, 'psi psig lb/in2 lbf/in2'),
  ],
  temperature: [
    unit('°C', 1, '°c c ℃ degc celsius °celsius'),
    unit('°F', ratio(5, 9), '°f f ℉ degf fahrenheit °fahrenheit', rational(-32n)),
  ],
}

/** The unit of that name, as it is shown or typed; undefined when it does not measure this. */
export const findUnit = (measure: Measure, name: string): Unit | undefined =>
  unitTable[measure].find((each) => each.shown === name || each.names.includes(name))

function needUnit(measure: Measure, name: string): Unit {
  const found = findUnit(measure, name)
  if (!found) throw new RangeError(`${name} is no unit of ${measure}.`)
  return found
}

/** In the record's unit, exactly. @throws RangeError when the unit does not measure this */
export function toRecord(value: Rational, measure: Measure, from: string): Rational {
  const { factor, offset } = needUnit(measure, from)
  return multiply(add(value, offset), factor)
}

/** From the record's unit, exactly. @throws RangeError when the unit does not measure this */
export function fromRecord(value: Rational, measure: Measure, to: string): Rational {
  const { factor, offset } = needUnit(measure, to)
  return subtract(divide(value, factor), offset)
}
