import { fromNumber, hundred, multiply, one, type Rational, toNumber } from '../rational.ts'
import { fromRecord, toRecord } from '../units/unit-table.ts'
import { type Decimal, formatNumber, formatShort, type UnitSystem } from '../units.ts'
import type { SprayJob, SprayNeed } from './spray-need.ts'

/** One line of the sum, for a painter who checks it with a pocket calculator. */
export type WorkingLine = {
  /** What is worked out here: "On the parts". */
  what: string
  /** The sum with its numbers: "38.4 mL ÷ 0.22 = 174.5 mL". */
  sum: string
  value: number
  unit: string
}

/**
 * Area × film that a volume covers, exactly: 1 mL is 1 m²·µm, a US fluid ounce 12.53 ft²·mil, a US gallon 1,604 ft²·mil.
 * @param volumeMl  in mL; @returns in the units of area and thickness that are named
 */
export const filmArea = (volumeMl: Rational, areaUnit: string, thicknessUnit: string): Rational =>
  fromRecord(fromRecord(volumeMl, 'area', areaUnit), 'thickness', thicknessUnit)

const unitsOf: Record<UnitSystem, { area: string; film: string; volume: string; digits: number }> = {
  metric: { area: 'm²', film: 'µm', volume: 'mL', digits: 1 },
  us: { area: 'ft²', film: 'mil', volume: 'fl oz', digits: 2 },
}

/** The whole sum of a surface, step by step, in the units that the painter works in. */
export function workingLines(job: SprayJob, need: SprayNeed, system: UnitSystem, decimal: Decimal): WorkingLine[] {
  const units = unitsOf[system]
  const number = (value: number, digits: number): string => formatShort(value, digits, decimal)
  const area = (m2: Rational): number => toNumber(fromRecord(m2, 'area', units.area))
  const sayArea = (m2: Rational): string => `${formatNumber(area(m2), units.digits + 1, decimal)} ${units.area}`
  const volume = (ml: Rational): number => toNumber(fromRecord(ml, 'volume', units.volume))
  const sayVolume = (ml: Rational): string => `${formatNumber(volume(ml), units.digits, decimal)} ${units.volume}`
  const film = toNumber(fromRecord(fromNumber(job.build.micrometres), 'thickness', units.film))
  const inArea = (what: string, sum: string, m2: Rational): WorkingLine => {
    return { what, sum, value: area(m2), unit: units.area }
  }
  const inVolume = (what: string, sum: string, ml: Rational): WorkingLine => {
    return { what, sum: `${sum} = ${sayVolume(ml)}`, value: volume(ml), unit: units.volume }
  }

  const lines = job.parts.map((part) => {
    const doubt = formatShort(part.doubt * 100, 0, decimal)
    return inArea(part.name, `${sayArea(fromNumber(part.areaM2))} ± ${doubt} %`, fromNumber(part.areaM2))
  })
  if (job.parts.length > 1) {
    const doubt = formatNumber(area(need.areaDoubtM2), units.digits + 1, decimal)
    lines.push(inArea('All parts', `${sayArea(need.areaM2)} ± ${doubt} ${units.area}`, need.areaM2))
  }
  const perVolume = filmArea(toRecord(one, 'volume', units.volume), units.area, units.film)
  const divided = system === 'us' ? ` ÷ ${formatNumber(toNumber(perVolume), 2, decimal)}` : ''
  const rule = system === 'us' ? '1 US gallon covers 1,604 ft² at 1 mil' : '1 mL covers 1 m² at 1 µm'
  const coats = `${number(job.coats, 2)} ${job.coats === 1 ? 'coat' : 'coats'}`
  const spread = `${sayArea(need.areaM2)} × ${coats} × ${number(film, 2)} ${units.film}${divided}`
  if (job.build.kind === 'dry' && need.filmMl) {
    lines.push(inVolume(`Dry film (${rule})`, spread, need.filmMl))
    const solids = toNumber(multiply(job.build.solids, hundred))
    lines.push(
      inVolume('Wet on the parts', `${sayVolume(need.filmMl)} ÷ ${number(solids, 1)} % volume solids`, need.onPartsMl),
    )
  } else lines.push(inVolume(`Wet on the parts (${rule})`, spread, need.onPartsMl))
  const efficiency = number(job.transfer.efficiency * 100, 1)
  lines.push(inVolume('Through the gun', `${sayVolume(need.onPartsMl)} ÷ ${efficiency} % transfer`, need.throughGunMl))
  const losses = [
    ['hose', job.losses.hoseMl],
    ['cup', job.losses.cupMl],
    ['strainer', job.losses.strainerMl],
  ] as const
  const named = losses.filter(([, ml]) => ml > 0).map(([name, ml]) => `${name} ${sayVolume(fromNumber(ml))}`)
  if (named.length > 0) lines.push(inVolume('Losses', named.join(' + '), need.lossesMl))
  const sum = `${sayVolume(need.throughGunMl)} + ${sayVolume(need.lossesMl)}`
  lines.push(inVolume('Ready to spray', sum, need.readyMl))
  return lines
}

/** "Between 210 and 340 mL": how far the estimate can be off; null when there is no doubt at all. */
export function needInWords(need: SprayNeed, system: UnitSystem, decimal: Decimal): string | null {
  const { volume, digits } = unitsOf[system]
  const say = (ml: Rational): string => {
    return formatShort(toNumber(fromRecord(ml, 'volume', volume)), digits - 1, decimal)
  }
  if (say(need.lowMl) === say(need.highMl)) return null
  return `Between ${say(need.lowMl)} and ${say(need.highMl)} ${volume}, when area and transfer are both at one end of what they may be.`
}
