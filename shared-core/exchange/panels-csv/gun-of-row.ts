import { parseQuantity } from '../../mix/units.ts'
import type { BoothConditions, GunSetup } from '../../records/panel.ts'
import { type Cell, figureOf, notUnderstood, short, understood } from './cells.ts'
import type { RowReading } from './reading.ts'

/** What the candy was sprayed with; null where the row says nothing of it. */
export function gunOfRow(row: RowReading): GunSetup | null {
  const gun = row.one('gun').text
  const tipMm = row.take(row.one('tip').column, (text) => quantity(row, text, 'tip', 'mm'))
  const inletKpa = row.take(row.one('pressure').column, (text) => inUnit(row, text, 'pressure'))
  const distanceMm = row.take(row.one('distance').column, (text) => inUnit(row, text, 'distance'))
  const overlapPercent = row.take(row.one('overlap').column, (text) => percent(row, text))
  if (gun === '' && tipMm === null && inletKpa === null && distanceMm === null && overlapPercent === null) return null
  const name = [gun, tipMm === null ? '' : `${tipMm} mm`].filter(Boolean).join(', ') || 'gun of the notebook'
  return {
    id: null,
    name: name.slice(0, 120),
    gun: gun.slice(0, 120),
    tipMm,
    inletKpa,
    capKpa: null,
    distanceMm,
    overlapPercent,
  }
}

export function boothOfRow(row: RowReading): BoothConditions | null {
  const temperatureC = row.take(row.one('temperature').column, (text) => inUnit(row, text, 'temperature'))
  const humidityPercent = row.take(row.one('humidity').column, (text) => percent(row, text))
  const flashOffMin = row.take(row.one('flash-off').column, (text): Cell<number | null> => {
    const sign = row.sign(text)
    return sign === null ? understood(null) : figureOf(text, sign, /^(min|mins|minutes|')?\.?$/)
  })
  if (temperatureC === null && humidityPercent === null && flashOffMin === null) return null
  return { temperatureC, humidityPercent, flashOffMin, reducerGrade: '' }
}

const headingUnit: Record<'pressure' | 'distance' | 'temperature', readonly [RegExp, string][]> = {
  pressure: [
    [/psi/i, 'psi'],
    [/\bbar\b/i, 'bar'],
    [/kpa/i, 'kPa'],
  ],
  distance: [
    [/\bmm\b/i, 'mm'],
    [/\bcm\b/i, 'cm'],
    [/\b(in|inch|inches)\b/i, 'in'],
  ],
  temperature: [
    [/°\s*F|\bF\b|deg f/i, '°F'],
    [/°\s*C|\bC\b|deg c/i, '°C'],
  ],
}

/** In the cell's own unit, its heading's, or the one that the painter names for bare figures. */
function inUnit(row: RowReading, text: string, measure: 'pressure' | 'distance' | 'temperature'): Cell<number | null> {
  const [column] = row.all.columnsOf(measure)
  const ofHeading = headingUnit[measure].find(([said]) => said.test(row.all.heading(column ?? 0)))?.[1]
  const isBare = /^[-−+]?[\d.,\s/½¼¾]+$/u.test(text)
  const answered = row.all.plan.answers[measure]
  if (isBare && !ofHeading) {
    row.all.ask(measure, text)
    if (answered === null) row.waiting = true
  }
  const unit = ofHeading ?? answered
  if (isBare && !unit) return understood(null)
  return quantity(row, isBare ? `${text} ${unit}` : text, measure, '')
}

function quantity(
  row: RowReading,
  text: string,
  measure: 'tip' | 'pressure' | 'distance' | 'temperature',
  unit: string,
): Cell<number | null> {
  const sign = row.sign(text)
  if (sign === null) return understood(null)
  const figure = figureOf(text, sign, /.*/)
  if (!figure.ok) return figure
  const typed = parseQuantity(
    /[a-z°"”′]/i.test(text) ? text.replace(/["”]/, 'in') : `${text} ${unit}`,
    measure,
    'metric',
  )
  return typed.ok ? understood(typed.value) : notUnderstood(`“${short(text)}”: ${typed.message}`, typed.remedy)
}

function percent(row: RowReading, text: string): Cell<number | null> {
  const sign = row.sign(text)
  return sign === null ? understood(null) : figureOf(text, sign, /^(%|percent)?$/)
}
