import { Refusal } from '../../contract/refusal.ts'
import type { PartSurface } from '../../records/customer-job.ts'

/** One measure of a shape. `mm` and the like are what the record holds; units as typed are the form's affair. */
export type ShapeMeasure = {
  key: string
  label: string
  unit: 'mm' | 'm²' | 'g' | 'kg/L' | '%' | 'sides'
  /** Taken when nothing is entered; null: has to be entered. */
  usual: number | null
}

export type Estimate = {
  areaM2: number
  /** ± of it, 0 to 1: how far the shape can be from the part, and what a tape measure leaves open. */
  doubt: number
}

export type ShapeForm = {
  name: string
  title: string
  measures: readonly ShapeMeasure[]
  /** How the area is worked out, for a painter who checks it. */
  formula: string
  /** From measures in mm, g, kg/L, percent. */
  estimate: (of: (key: string) => number) => Estimate
}

const mm = (key: string, label: string): ShapeMeasure => ({ key, label, unit: 'mm', usual: null })
const sides = (usual: number): ShapeMeasure => ({ key: 'sides', label: 'Sides painted', unit: 'sides', usual })
const squareMetres = (areaMm2: number): number => areaMm2 / 1_000_000

/**
 * Surface of an ellipsoid from its half axes. Approximation of K. Thomsen (2004), exponent 1.6075: within 1.1 % for any
 * axes, exact for a sphere.
 */
export function ellipsoidMm2(a: number, b: number, c: number): number {
  const p = 1.6075
  const mean = ((a * b) ** p + (a * c) ** p + (b * c) ** p) / 3
  return 4 * Math.PI * mean ** (1 / p)
}

/** What a tape measure leaves open on flat things: common practice, no source. */
const byTape = 0.02

/*
 * Doubts and painted fractions are common practice, no source, but for the tank: a body that bulges nowhere inwards has more
 * surface than any such body inside it and less than any around it, so it lies between half an ellipsoid and the box.
 */
export const shapes: readonly ShapeForm[] = [
  {
    name: 'typed',
    title: 'Area, typed',
    measures: [
      { key: 'areaM2', label: 'Area', unit: 'm²', usual: null },
      { key: 'doubtPercent', label: 'Known to ±', unit: '%', usual: 5 },
    ],
    formula: 'As typed.',
    estimate: (of) => ({ areaM2: of('areaM2'), doubt: of('doubtPercent') / 100 }),
  },
  {
    name: 'test-panel',
    title: 'Test panel or sheet',
    measures: [mm('widthMm', 'Width'), mm('heightMm', 'Height'), sides(1)],
    formula: 'width × height × sides; edges are left out',
    estimate: (of) => ({ areaM2: squareMetres(of('widthMm') * of('heightMm') * of('sides')), doubt: byTape }),
  },
  {
    name: 'box',
    title: 'Box',
    measures: [mm('widthMm', 'Width'), mm('heightMm', 'Height'), mm('depthMm', 'Depth')],
    formula: '2 × (width × height + width × depth + height × depth): all six faces',
    estimate: (of) => {
      const [w, h, d] = [of('widthMm'), of('heightMm'), of('depthMm')]
      return { areaM2: squareMetres(2 * (w * h + w * d + h * d)), doubt: byTape }
    },
  },
  {
    name: 'cylinder',
    title: 'Cylinder with both ends',
    measures: [mm('diameterMm', 'Diameter'), mm('lengthMm', 'Length')],
    formula: 'π × diameter × length + π × diameter² ÷ 2',
    estimate: (of) => {
      const [d, l] = [of('diameterMm'), of('lengthMm')]
      return { areaM2: squareMetres(Math.PI * d * (l + d / 2)), doubt: byTape }
    },
  },
  {
    name: 'tube',
    title: 'Tube, outside only',
    measures: [mm('diameterMm', 'Diameter'), mm('lengthMm', 'Length')],
    formula: 'π × diameter × length',
    estimate: (of) => ({ areaM2: squareMetres(Math.PI * of('diameterMm') * of('lengthMm')), doubt: byTape }),
  },
  {
    name: 'tank',
    title: 'Motorcycle tank',
    measures: [mm('lengthMm', 'Length'), mm('widthMm', 'Width at the widest'), mm('heightMm', 'Height')],
    formula: 'between half an ellipsoid and a box without bottom: the middle of the two, ± half their distance',
    estimate: (of) => {
      const [l, w, h] = [of('lengthMm'), of('widthMm'), of('heightMm')]
      const inner = ellipsoidMm2(l / 2, w / 2, h) / 2
      const outer = l * w + 2 * h * (l + w)
      return { areaM2: squareMetres((inner + outer) / 2), doubt: (outer - inner) / (outer + inner) + byTape }
    },
  },
  {
    name: 'helmet',
    title: 'Helmet',
    measures: [
      mm('lengthMm', 'Length, front to back'),
      mm('widthMm', 'Width'),
      mm('heightMm', 'Height'),
      { key: 'paintedPercent', label: 'Painted part of the whole egg', unit: '%', usual: 70 },
    ],
    formula:
      'ellipsoid through length, width and height × the part without neck and eye opening (full face: about 70 %)',
    estimate: (of) => {
      const whole = ellipsoidMm2(of('lengthMm') / 2, of('widthMm') / 2, of('heightMm') / 2)
      return { areaM2: squareMetres((whole * of('paintedPercent')) / 100), doubt: 0.15 }
    },
  },
  {
    name: 'guitar-body',
    title: 'Guitar body',
    measures: [mm('lengthMm', 'Length'), mm('widthMm', 'Width at the widest'), mm('thicknessMm', 'Thickness')],
    formula: 'front and back, each 0.75 × length × width, and the edge: 2 × (length + width) × thickness',
    estimate: (of) => {
      const [l, w, t] = [of('lengthMm'), of('widthMm'), of('thicknessMm')]
      return { areaM2: squareMetres(2 * 0.75 * l * w + 2 * (l + w) * t), doubt: 0.15 }
    },
  },
  {
    name: 'door',
    title: 'Door skin',
    measures: [mm('widthMm', 'Width'), mm('heightMm', 'Height without the window'), sides(1)],
    formula: 'width × height × sides × 1.05 for its curve and turned edges',
    estimate: (of) => ({
      areaM2: squareMetres(1.05 * of('widthMm') * of('heightMm') * of('sides')),
      doubt: 0.1,
    }),
  },
  {
    name: 'sheet',
    title: 'From the mass of the bare sheet',
    measures: [
      { key: 'massG', label: 'Mass', unit: 'g', usual: null },
      mm('thicknessMm', 'Thickness of the sheet'),
      { key: 'densityKgPerL', label: 'Density of the sheet', unit: 'kg/L', usual: null },
      sides(1),
    ],
    formula: 'mass ÷ density ÷ thickness × sides',
    estimate: (of) => ({
      // g ÷ (g/cm³) is cm³; over mm it is 10 cm², a thousandth of a square metre.
      areaM2: (of('massG') / of('densityKgPerL') / of('thicknessMm') / 1000) * of('sides'),
      doubt: 0.05,
    }),
  },
]

/** kg/L of what parts are made of: handbook values, from memory. */
export const sheetDensities: readonly { name: string; densityKgPerL: number }[] = [
  { name: 'Steel', densityKgPerL: 7.85 },
  { name: 'Aluminium', densityKgPerL: 2.7 },
  { name: 'ABS plastic', densityKgPerL: 1.05 },
  { name: 'Polycarbonate', densityKgPerL: 1.2 },
]

/**
 * Area of a part and its doubt. @throws Refusal `surface/no-shape` or `surface/no-measure`, which names what is missing
 */
export function areaOf({ shape, measures }: PartSurface): Estimate {
  const form = shapes.find(({ name }) => name === shape)
  if (!form)
    throw new Refusal('surface/no-shape', `“${shape}” is not a known shape.`, 'Choose a shape, or type the area.')
  return form.estimate((key) => {
    const measure = form.measures.find((each) => each.key === key)
    const value = measures[key] ?? measure?.usual
    if (value !== undefined && value !== null && Number.isFinite(value) && value > 0) return value
    throw new Refusal(
      'surface/no-measure',
      `${form.name === 'typed' ? '' : `${form.title}: `}${measure?.label ?? key} is missing, or not above 0.`,
      'Measure it and enter it, or type the area.',
    )
  })
}
