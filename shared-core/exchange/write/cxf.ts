import { cxfNamespace } from '../read/cxf.ts'
import { alike, angleOf, type ExportRow, geometryWords, labFigure, nmFigure, reflectanceFigure } from './rows.ts'

/** CxF3 (ISO 17972): one object for each reading, one specification for each kind of measurement. */
export function writeCxf(rows: readonly ExportRow[], about: { createdAt: string }): string {
  const groups = alike(rows)
  const keyOf = new Map(groups.flatMap((group, i) => group.map((row): [ExportRow, string] => [row, `CS${i + 1}`])))
  const objects = rows.map((row, i) => objectOf(row, i + 1, keyOf.get(row) ?? 'CS1'))
  const specifications = groups.map((group, i) => (group[0] ? specificationOf(group[0], `CS${i + 1}`) : ''))
  return [
    '<?xml version="1.0" encoding="UTF-8"?>',
    `<cc:CxF xmlns:cc="${cxfNamespace}">`,
    '<cc:FileInformation>',
    element('Creator', 'Overground'),
    element('CreationDate', about.createdAt),
    element('Description', 'Readings of sprayed panels'),
    '</cc:FileInformation>',
    '<cc:Resources>',
    '<cc:ObjectCollection>',
    ...objects,
    '</cc:ObjectCollection>',
    '<cc:ColorSpecificationCollection>',
    ...specifications,
    '</cc:ColorSpecificationCollection>',
    '</cc:Resources>',
    '</cc:CxF>',
    '',
  ].join('\n')
}

function objectOf(row: ExportRow, id: number, specification: string): string {
  const { lab, spectrum } = row
  const own = `ColorSpecification="${specification}"`
  const reflectance = spectrum
    ? `<cc:ReflectanceSpectrum ${own}${startWithin(spectrum.startNm)}>${spectrum.values.map(reflectanceFigure).join(' ')}</cc:ReflectanceSpectrum>`
    : ''
  return [
    `<cc:Object ObjectType="Target" Name="${attribute(row.name)}" Id="R${id}">`,
    element('CreationDate', row.takenAt),
    `<cc:ColorValues>${reflectance}`,
    `<cc:ColorCIELab ${own}>${element('L', labFigure(lab.l))}${element('A', labFigure(lab.a))}${element('B', labFigure(lab.b))}</cc:ColorCIELab>`,
    '</cc:ColorValues>',
    '</cc:Object>',
  ].join('\n')
}

/** The schema allows whole numbers from 360 to 400 there; any other start stands in the specification alone. */
const startWithin = (nm: number): string => (Number.isInteger(nm) && nm >= 360 && nm <= 400 ? ` StartWL="${nm}"` : '')

function specificationOf(row: ExportRow, id: string): string {
  const range = row.spectrum
    ? `<cc:WavelengthRange StartWL="${nmFigure(row.spectrum.startNm)}" Increment="${nmFigure(row.spectrum.stepNm)}"/>`
    : ''
  return [
    `<cc:ColorSpecification Id="${id}">`,
    '<cc:TristimulusSpec>',
    element('Illuminant', row.illuminant),
    element('Observer', `${row.observer}_Degree`),
    '</cc:TristimulusSpec>',
    '<cc:MeasurementSpec>',
    element('MeasurementType', row.spectrum ? 'Spectrum_Reflectance' : 'Colorimetric_Reflectance'),
    `<cc:GeometryChoice>${geometryOf(row)}</cc:GeometryChoice>`,
    range,
    row.instrument === null ? '' : `<cc:Device>${element('Model', row.instrument)}</cc:Device>`,
    '</cc:MeasurementSpec>',
    '</cc:ColorSpecification>',
  ]
    .filter(Boolean)
    .join('\n')
}

function geometryOf(row: ExportRow): string {
  switch (row.geometry) {
    case 'd:8-included':
      return element('SphereGeometry', 'Specular_Included')
    case 'd:8-excluded':
      return element('SphereGeometry', 'Specular_Excluded')
    case '45:0':
      return singleAngle(45, 0)
    case '0:45':
      return singleAngle(0, 45)
    case 'multi-angle':
      return `<cc:MultiAngle><cc:BRDFAngle Notation="45as${angleOf(row)}">${element('IlluminationAngle', '45')}${element('Aspecular', String(angleOf(row)))}</cc:BRDFAngle></cc:MultiAngle>`
    case 'photo':
      return element('UnknownGeometry', geometryWords(row))
  }
}

const singleAngle = (light: number, eye: number): string =>
  `<cc:SingleAngle>${element('SingleAngleConfiguration', 'Annular')}${element('IlluminationAngle', String(light))}${element('MeasurementAngle', String(eye))}</cc:SingleAngle>`

const element = (name: string, text: string): string => `<cc:${name}>${escaped(text)}</cc:${name}>`

/** Characters that XML 1.0 cannot hold are left out: most control characters, halves of a pair, non-characters. */
const escaped = (text: string): string =>
  text
    .replaceAll(/\p{Cc}/gu, (sign) => ('\t\n\r'.includes(sign) ? sign : ''))
    .replaceAll(/[\p{Cs}\uFFFE\uFFFF]/gu, '')
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')

const attribute = (text: string): string =>
  escaped(text)
    .replaceAll('"', '&quot;')
    .replaceAll(/[\t\n\r]/g, (sign) => `&#${sign.charCodeAt(0)};`)
