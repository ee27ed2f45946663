/**
 * Files of measurements as their standards write them.
 * CGATS.17 (ISO 28178:2009): keywords, data format and data as its examples have them, from memory.
 * CxF3 (ISO 17972-1:2015): elements and their order from the published CxF3-core schema; the file itself is ours.
 * CSV: RFC 4180, section 2 (its own examples of quotes and line ends).
 * Names, figures and makers are invented; the Lab of the spectrum is worked out from CIE tables in spectrum.test.ts.
 */
import { describe, expect, it } from 'vitest'
import { csvLines } from '../../shared-core/exchange/read/csv.ts'
import { readMeasuredFile } from '../../shared-core/exchange/read/read-file.ts'
import { saidAngle, saidGeometry, saidIlluminant, saidObserver } from '../../shared-core/exchange/read/words.ts'
import { noAnswers, settle } from '../../shared-core/exchange/settle.ts'

const flat = (value: number) => Array.from({ length: 31 }, () => value)
const bands = Array.from({ length: 31 }, (_, i) => 400 + 10 * i)

const cgats = `CGATS.17
ORIGINATOR	"Test bench"
# what the instrument is
INSTRUMENTATION	"Bench spectro 7"
CREATED	"2031-05-21T09:30:00Z"
MEASUREMENT_GEOMETRY	"45/0"
WEIGHTING_FUNCTION	"ILLUMINANT, D50"
WEIGHTING_FUNCTION	"OBSERVER, 2 degree"
KEYWORD	"BENCH_WORD"
BENCH_WORD	"of its own"

NUMBER_OF_FIELDS	5
BEGIN_DATA_FORMAT
SAMPLE_ID	SAMPLE_NAME	LAB_L	LAB_A	LAB_B
END_DATA_FORMAT

NUMBER_OF_SETS	2
BEGIN_DATA
1	"teal, 4 coats"	41.25	-28.10	-11.02
2	bare	71.00	0.42	12.5e0	# the ground
END_DATA
`

describe('CGATS.17', () => {
  it('is read: names, figures, light, observer, geometry, instrument', () => {
    const file = readMeasuredFile(cgats)
    expect(file.format).toBe('cgats')
    expect(file.samples.map(({ name }) => name)).toEqual(['teal, 4 coats', 'bare'])
    const { samples, questions } = settle(file, noAnswers)
    expect(questions).toEqual([])
    expect(samples[0]?.measures[0]).toMatchObject({
      instrument: 'Bench spectro 7',
      takenAt: '2031-05-21T09:30:00.000Z',
      colour: {
        lab: { l: 41.25, a: -28.1, b: -11.02 },
        illuminant: 'D50',
        observer: '2',
        geometry: '45:0',
        view: 'face',
      },
    })
    expect(samples[1]?.measures[0]?.colour?.lab).toEqual({ l: 71, a: 0.42, b: 12.5 })
  })

  it('asks for what it does not state', () => {
    const bare = cgats.replaceAll(/^(MEASUREMENT_GEOMETRY|WEIGHTING_FUNCTION).*\n/gm, '')
    const { samples, questions } = settle(readMeasuredFile(bare), noAnswers)
    expect(questions).toEqual([
      { ask: 'geometry', count: 2, answered: false },
      { ask: 'illuminant', count: 2, answered: false },
      { ask: 'observer', count: 2, answered: false },
    ])
    expect(samples.every(({ measures }) => measures.every(({ colour, notTaken }) => !colour && !notTaken))).toBe(true)
  })

  it('spectra in percent or in factors give the same Lab, and nothing is asked but what is open', () => {
    const withSpectra = (value: number, field = 'SPECTRAL_NM') => `CGATS.17
MEASUREMENT_GEOMETRY "D/8, specular included"
NUMBER_OF_FIELDS 32
BEGIN_DATA_FORMAT
SAMPLE_NAME ${bands.map((nm) => `${field}${nm}`).join(' ')}
END_DATA_FORMAT
NUMBER_OF_SETS 1
BEGIN_DATA
"half" ${flat(value).join(' ')}
END_DATA
`
    const percent = settle(readMeasuredFile(withSpectra(50)), noAnswers)
    expect(percent.questions).toEqual([])
    const colour = percent.samples[0]?.measures[0]?.colour
    // a flat half is L* 76.069 in any light (116 · cbrt(0.5) − 16)
    expect(colour?.lab.l).toBeCloseTo(116 * Math.cbrt(0.5) - 16, 9)
    expect(colour).toMatchObject({ illuminant: 'D50', observer: '2', geometry: 'd:8-included' })
    // 0.5 may be a mid grey by factors or a black in percent
    const open = settle(readMeasuredFile(withSpectra(0.5)), noAnswers)
    expect(open.questions).toEqual([{ ask: 'scale', count: 1, answered: false }])
    const answered = settle(readMeasuredFile(withSpectra(0.5)), { ...noAnswers, scale: 'fraction' })
    expect(answered.samples[0]?.measures[0]?.colour?.lab.l).toBeCloseTo(colour?.lab.l ?? 0, 9)
    expect(settle(readMeasuredFile(withSpectra(0.5, 'SPECTRAL_DEC')), noAnswers).questions).toEqual([])
    const dark = settle(readMeasuredFile(withSpectra(0.5, 'SPECTRAL_PCT')), noAnswers).samples[0]?.measures[0]?.colour
    // CIE 15: below 216/24389 L* is 903.3 Y
    expect(dark?.lab.l).toBeCloseTo((24389 / 27) * 0.005, 6)
  })
})

const cxf = `<?xml version="1.0" encoding="UTF-8"?>
<cc:CxF xmlns:cc="http://colorexchangeformat.com/CxF3-core" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
  <cc:FileInformation>
    <cc:Creator>Test bench</cc:Creator>
    <cc:CreationDate>2031-05-21T09:30:00Z</cc:CreationDate>
  </cc:FileInformation>
  <cc:Resources>
    <cc:ObjectCollection>
      <cc:Object ObjectType="Target" Name="Kestrel &amp; Ember &#8212; 4 coats" Id="c1">
        <cc:CreationDate>2031-05-21T09:31:00Z</cc:CreationDate>
        <cc:ColorValues>
          ${[15, 25, 45, 75, 110].map((angle) => `<cc:ReflectanceSpectrum ColorSpecification="S${angle}" StartWL="400">${flat(angle / 200).join(' ')}</cc:ReflectanceSpectrum>`).join('\n')}
        </cc:ColorValues>
      </cc:Object>
      <cc:Object ObjectType="Standard" Name="chip" Id="c2">
        <cc:CreationDate>2031-05-21T09:32:00Z</cc:CreationDate>
        <cc:ColorValues>
          <cc:ColorCIELab ColorSpecification="sphere"><cc:L>50.5</cc:L><cc:A>-1.25</cc:A><cc:B>3</cc:B></cc:ColorCIELab>
        </cc:ColorValues>
      </cc:Object>
    </cc:ObjectCollection>
    <cc:ColorSpecificationCollection>
      ${[15, 25, 45, 75, 110]
        .map(
          (angle) => `<cc:ColorSpecification Id="S${angle}"><cc:MeasurementSpec>
        <cc:MeasurementType>Spectrum_Reflectance</cc:MeasurementType>
        <cc:GeometryChoice><cc:MultiAngle><cc:BRDFAngle Notation="45as${angle}">
          <cc:IlluminationAngle>45</cc:IlluminationAngle><cc:Aspecular>${angle}</cc:Aspecular>
        </cc:BRDFAngle></cc:MultiAngle></cc:GeometryChoice>
        <cc:WavelengthRange StartWL="400" Increment="10"/>
        <cc:Device><cc:Model>Bench gonio 5</cc:Model></cc:Device>
      </cc:MeasurementSpec></cc:ColorSpecification>`,
        )
        .join('\n')}
      <cc:ColorSpecification Id="sphere">
        <cc:TristimulusSpec><cc:Illuminant>D65</cc:Illuminant><cc:Observer>10_Degree</cc:Observer></cc:TristimulusSpec>
        <cc:MeasurementSpec>
          <cc:MeasurementType>Colorimetric_Reflectance</cc:MeasurementType>
          <cc:GeometryChoice><cc:SphereGeometry>Specular_Excluded</cc:SphereGeometry></cc:GeometryChoice>
        </cc:MeasurementSpec>
      </cc:ColorSpecification>
    </cc:ColorSpecificationCollection>
  </cc:Resources>
</cc:CxF>
`

describe('CxF3', () => {
  it('keeps near glare, face and flop of an instrument of five angles, and says why not the others', () => {
    const { samples, questions } = settle(readMeasuredFile(cxf), noAnswers)
    expect(questions).toEqual([])
    const [panel] = samples
    expect(panel?.name).toBe('Kestrel & Ember — 4 coats')
    expect(panel?.measures.map(({ aspecularDeg, colour }) => [aspecularDeg, colour?.view ?? null])).toEqual([
      [15, 'near-glare'],
      [25, null],
      [45, 'face'],
      [75, null],
      [110, 'flop'],
    ])
    expect(panel?.measures[1]?.notTaken?.message).toContain('25°')
    expect(panel?.measures[2]).toMatchObject({ instrument: 'Bench gonio 5', colour: { geometry: 'multi-angle' } })
    expect(panel?.measures[2]?.colour?.lab.l).toBeCloseTo(116 * Math.cbrt(45 / 200) - 16, 9)
  })

  it('keeps Lab of another light and the 10° observer as it is given', () => {
    const { samples } = settle(readMeasuredFile(cxf), noAnswers)
    expect(samples[1]?.measures[0]?.colour).toMatchObject({
      lab: { l: 50.5, a: -1.25, b: 3 },
      illuminant: 'D65',
      observer: '10',
      geometry: 'd:8-excluded',
    })
  })
})

describe('CSV', () => {
  it('keeps lines as RFC 4180 does: quotes around separators, line ends and doubled quotes', () => {
    const text = 'aaa,"b\r\nbb","c,c"\r\n"b""b",,x\r\n'
    expect([...csvLines(text, ',')].map(({ cells, line }) => [line, cells])).toEqual([
      [1, ['aaa', 'b\r\nbb', 'c,c']],
      [3, ['b"b', '', 'x']],
    ])
  })

  it.each([
    ['comma and point', 'Name,L*,a*,b*,Illuminant,Observer,Geometry\nteal,41.25,-28.1,-11.02,D65,10°,SCE\n'],
    ['semicolon and comma', 'Name;L;a;b;Illuminant;Observer;Geometry\nteal;41,25;-28,1;-11,02;D65/10°;10°;d/8 SCE\n'],
    [
      'tabs and comma',
      'Sample\tL*\ta*\tb*\tIlluminant\tObserver\tGeometry\r\nteal\t41,25\t−28,1\t-11,02\tCIE D65\t1964\tde:8\r\n',
    ],
    [
      'settings above',
      'Report of the day\nIlluminant: D65\nObserver;10 deg\nGeometry;sphere, gloss excluded\n\nName;L;a;b\nteal;41,25;-28,1;-11,02\n',
    ],
  ])('with %s gives the same colour', (_what, text) => {
    const { samples, questions } = settle(readMeasuredFile(text), noAnswers)
    expect(questions).toEqual([])
    expect(samples).toHaveLength(1)
    expect(samples[0]).toMatchObject({
      name: 'teal',
      measures: [
        {
          colour: {
            lab: { l: 41.25, a: -28.1, b: -11.02 },
            illuminant: 'D65',
            observer: '10',
            geometry: 'd:8-excluded',
            view: 'face',
          },
        },
      ],
    })
  })

  it('takes several angles as columns and as lines', () => {
    const columns = readMeasuredFile('Name,L 15°,a 15°,b 15°,L 110,a 110,b 110\nteal,60,1,2,20,3,4\n')
    const lines = readMeasuredFile('Name,Angle,L,a,b\nteal,15,60,1,2\nteal,45as110,20,3,4\n')
    for (const file of [columns, lines]) {
      const { samples, questions } = settle(file, { ...noAnswers, illuminant: 'D50', observer: '2' })
      expect(questions.every(({ answered }) => answered)).toBe(true)
      expect(samples).toHaveLength(1)
      expect(samples[0]?.measures.map(({ colour }) => [colour?.view, colour?.lab.l])).toEqual([
        ['near-glare', 60],
        ['flop', 20],
      ])
    }
  })

  it('reads LCh as the Lab that CIE 15 makes of it', () => {
    const file = readMeasuredFile('Name,L,C,h\nteal,50,20,90\n')
    expect(file.samples[0]?.measures[0]?.lab?.a).toBeCloseTo(0, 12)
    expect(file.samples[0]?.measures[0]?.lab?.b).toBeCloseTo(20, 12)
  })
})

describe('the words of files', () => {
  it.each([
    ['D50', 'D50'],
    ['CIE Illuminant A', 'A'],
    ['FL11', 'F11'],
    ['D65/10', 'D65'],
    ['LED-B3', 'LED-B3'],
  ])('%s is illuminant %s', (said, is) => expect(saidIlluminant(said)).toEqual({ is }))
  it.each(['D75', 'F7', 'E'])('%s is an illuminant that no reading holds', (said) =>
    expect(saidIlluminant(said)).toEqual({ other: said }),
  )
  it.each(['', 'daylight', 'who knows'])('“%s” says no illuminant', (said) => expect(saidIlluminant(said)).toBeNull())
  it.each([
    ['2', '2'],
    ['2 degree', '2'],
    ['2_Degree', '2'],
    ['CIE 1931', '2'],
    ['10°', '10'],
    ['10_Degree', '10'],
    ['1964', '10'],
  ])('observer %s is %s°', (said, is) => expect(saidObserver(said)).toEqual({ is }))
  it.each(['', '12', '20', 'standard'])('“%s” says no observer', (said) => expect(saidObserver(said)).toBeNull())
  it.each([
    ['45/0', '45:0'],
    ['45°:0°', '45:0'],
    ['45a:0', '45:0'],
    ['0/45', '0:45'],
    ['d/8 SCI', 'd:8-included'],
    ['D/8, specular excluded', 'd:8-excluded'],
    ['di:8', 'd:8-included'],
    ['Specular_Included', 'd:8-included'],
  ])('%s is the geometry %s', (said, is) => expect(saidGeometry(said).geometry).toEqual({ is }))
  it('a sphere that does not say whether gloss counts says nothing', () =>
    expect(saidGeometry('d/8').geometry).toBeNull())
  it('keeps the side of an angle', () => {
    expect(saidGeometry('45:as-15')).toEqual({ geometry: { is: 'multi-angle' }, aspecularDeg: -15 })
    expect(saidAngle('110°')).toBe(110)
    expect(saidAngle('steep')).toBeNull()
  })
})
