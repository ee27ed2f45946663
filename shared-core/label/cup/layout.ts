import { labelCautions } from '../../mix/safety/cautions.ts'
import { materialsIn } from '../../mix/safety/materials-in.ts'
import type { LabelPage, LabelSize, LabelWording } from '../../records/label.ts'
import type { CupLabel, Shown } from '../../records/sheet.ts'
import { frameOf, headMarks, tooSmall } from '../head.ts'
import { largestThatFits } from '../layout.ts'
import type { MeasureText, QrRows } from '../measures.ts'
import { clauses, formulaClauses, type LabelLine, tidy } from '../text.ts'

export type CupWording = LabelWording & { clock: '12' | '24' }

/** So many cautions a cup label has room for; the mix card says all of them. */
const cautionCount = 3

const two = (value: number): string => String(value).padStart(2, '0')

/** "14:05" or "2:05 pm", by the clock of this computer. */
const timeInWords = (at: Date, clock: '12' | '24'): string => {
  const hour = at.getHours()
  return clock === '24'
    ? `${two(hour)}:${two(at.getMinutes())}`
    : `${hour % 12 === 0 ? 12 : hour % 12}:${two(at.getMinutes())} ${hour < 12 ? 'am' : 'pm'}`
}
const dayInWords = (at: Date): string => `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`

/** "Use until 16:20", with the day when it is another one than that of mixing. Null where nothing hardens. */
export function useUntil({ mixedAt, hardenerAt, potLifeMin }: CupLabel, clock: '12' | '24'): string | null {
  const mixed = new Date(mixedAt)
  const from = Date.parse(hardenerAt ?? mixedAt)
  if (potLifeMin === null || Number.isNaN(from) || Number.isNaN(mixed.getTime())) return null
  // whole minutes, and never later than the pot life
  const until = new Date(Math.floor((from + potLifeMin * 60_000) / 60_000) * 60_000)
  const day = dayInWords(until)
  return `Use until ${timeInWords(until, clock)}${day === dayInWords(mixed) ? '' : `, ${day}`}`
}

/** What a cup's label says below its code: what it is for, until when it may be sprayed, what is in it, what to mind. */
export function cupLines(cup: CupLabel, wording: CupWording, shows: ReadonlySet<Shown>): LabelLine[] {
  const mixed = new Date(cup.mixedAt)
  const when = Number.isNaN(mixed.getTime()) ? '' : `${dayInWords(mixed)} ${timeInWords(mixed, wording.clock)}`
  const inIt = cup.mixture && shows.has('cautions') ? materialsIn(cup.mixture) : []
  const named = (id: string | null) => (id === null ? null : cup.isocyanates?.[id])
  const cautions = labelCautions(
    inIt.map(({ id, kind }) => ({ kind, isocyanate: named(id) })),
    cautionCount,
  )
  // a title often begins with it
  const isNamed = cup.panelCode !== null && cup.about.includes(cup.panelCode)
  const lines: LabelLine[] = [
    { about: '', says: shows.has('title') ? tidy(cup.about) : '', role: 'title' },
    { about: 'Panel', says: shows.has('title') && !isNamed ? tidy(cup.panelCode ?? '') : '', role: 'fact' },
    { about: '', says: shows.has('date') ? (useUntil(cup, wording.clock) ?? '') : '', role: 'loud' },
    {
      about: 'In it',
      says: cup.mixture && shows.has('formula') ? clauses(formulaClauses(cup.mixture, wording)) : '',
      role: 'fact',
    },
    { about: 'Mixed', says: shows.has('date') ? clauses([when, tidy(cup.mixedBy)]) : '', role: 'fact' },
    ...cautions.map((says) => ({ about: '', says, role: 'caution' as const })),
  ]
  return lines.filter((line) => line.says !== '')
}

/**
 * A label for a cup, in millimetres, as `layOutLabel` lays one out for a panel; the symbol says the cup's own code.
 * @throws Refusal `label/too-small`
 */
export function layOutCupLabel(
  cup: CupLabel,
  size: LabelSize,
  wording: CupWording,
  measure: MeasureText,
  qrRows: QrRows,
  shows: ReadonlySet<Shown>,
): LabelPage[] {
  const frame = frameOf({ code: cup.code, symbol: shows.has('qr') ? cup.code : null }, size, measure, qrRows)
  const pages = largestThatFits(cupLines(cup, wording, shows), frame)
  if (pages === null) throw tooSmall(size)
  return pages.map((marks, index) => ({
    size,
    panelId: cup.panelCode ?? '',
    part: index + 1,
    of: pages.length,
    marks: [...headMarks(frame, cup.code, index + 1, pages.length, ''), ...marks],
  }))
}
