import type { LabelMark } from '../../records/label.ts'
import type { PaperSize, SheetPage } from '../../records/sheet.ts'
import { capital, clamp, type MeasureText } from '../measures.ts'
import type { Measured } from './placement.ts'
import { boxMark, textMark, wrapped } from './wrap.ts'

const strokeMm = 0.2
const rulerMm = 100

/** How long the rulers are on such a page, and how far from its edges they begin. */
export function rulersOf(size: PaperSize): Measured {
  const insetMm = clamp(Math.round(Math.min(size.widthMm, size.heightMm) / 8), 3, 15)
  // the last figure needs a little room behind its stroke
  const length = (sideMm: number) => clamp(Math.floor((sideMm - 1.5 * insetMm) / 10) * 10, 10, rulerMm)
  return { acrossMm: length(size.widthMm), downMm: length(size.heightMm), leftMm: insetMm, topMm: insetMm }
}

/**
 * Two rulers from one corner and marks in the others: what is measured on the print says what the printer does to a page.
 * @param corrected  drawn with the correction that is kept: the words say what should be measured then
 */
export function calibrationPage(size: PaperSize, corrected: boolean, measure: MeasureText): SheetPage {
  const asked = rulersOf(size)
  const { leftMm, topMm } = asked
  const small = Math.min(size.widthMm, size.heightMm) < 80
  const figureMm = small ? 1.9 : 2.6
  const marks: LabelMark[] = [
    ...ruler(asked.acrossMm, small).flatMap(([atMm, longMm]) => [
      boxMark(leftMm + atMm - strokeMm / 2, topMm, strokeMm, longMm),
    ]),
    ...ruler(asked.downMm, small).flatMap(([atMm, longMm]) => [
      boxMark(leftMm, topMm + atMm - strokeMm / 2, longMm, strokeMm),
    ]),
    boxMark(leftMm - strokeMm / 2, topMm - strokeMm / 2, asked.acrossMm + strokeMm, strokeMm),
    boxMark(leftMm - strokeMm / 2, topMm - strokeMm / 2, strokeMm, asked.downMm + strokeMm),
    ...figures(asked.acrossMm).map((at) =>
      textMark(
        String(at),
        leftMm + at - measure(String(at), 'regular', figureMm) / 2,
        topMm + (small ? 3.2 : 5.4) + figureMm * capital,
        figureMm,
      ),
    ),
    ...figures(asked.downMm).map((at) =>
      textMark(String(at), leftMm + (small ? 3.2 : 5.4), topMm + at + (figureMm * capital) / 2, figureMm),
    ),
    ...corners(size, asked),
  ]
  const left = leftMm + (small ? 9 : 16)
  const textMm = small ? 1.9 : 4
  const room = {
    widthMm: size.widthMm - leftMm - left,
    sizeMm: textMm,
    face: 'regular' as const,
    measure,
  }
  let baselineMm = topMm + (small ? 8.4 : 22)
  for (const said of small ? wordsOnLabel(asked) : wordsOf(asked, corrected)) {
    const lines = wrapped(said, room)
    // the screen says the same: what has no room here is not missed
    if (baselineMm + lines.length * textMm * 1.35 > size.heightMm - topMm) break
    for (const line of lines) {
      marks.push(textMark(line, left, baselineMm, textMm))
      baselineMm += textMm * 1.35
    }
    baselineMm += textMm * 0.5
  }
  return { size, marks }
}

const wordsOnLabel = ({ acrossMm, downMm, leftMm, topMm }: Measured): string[] => [
  `${acrossMm} mm across, ${downMm} mm down,`,
  `${leftMm} mm from the left, ${topMm} mm from the top.`,
]

function wordsOf({ acrossMm, downMm, leftMm, topMm }: Measured, corrected: boolean): string[] {
  if (corrected)
    return [
      `With correction: ${acrossMm} mm across, ${downMm} mm down,`,
      `${leftMm} mm from the left edge, ${topMm} mm from the top edge.`,
      'If it is less than 0.3 mm off, the printer is right.',
    ]
  return [
    'Measure with a steel rule and type in:',
    `1. Across: from the first to the last stroke (${acrossMm} mm when right).`,
    `2. Down: from the first to the last stroke (${downMm} mm when right).`,
    `3. From the paper’s left edge to the upright ruler’s line (${leftMm} mm when right).`,
    `4. From the paper’s top edge to the level ruler’s line (${topMm} mm when right).`,
    'Print it at 100 %, without fitting to the page.',
  ]
}

/** Strokes along a ruler: where, and how long. */
function ruler(lengthMm: number, small: boolean): [atMm: number, longMm: number][] {
  const [tens, fives, ones] = small ? [2.6, 1.9, 1.2] : [4.6, 3.4, 2.2]
  return Array.from({ length: lengthMm + 1 }, (_, at) => [at, at % 10 === 0 ? tens : at % 5 === 0 ? fives : ones])
}

const figures = (lengthMm: number): number[] => Array.from({ length: lengthMm / 10 }, (_, i) => (i + 1) * 10)

/** Angles as far from the other edges as the rulers are from theirs. */
function corners(size: PaperSize, { acrossMm, downMm, leftMm, topMm }: Measured): LabelMark[] {
  const armMm = Math.min(10, leftMm * 0.7)
  const right = size.widthMm - leftMm
  const bottom = size.heightMm - topMm
  // an arm that nearly touches a ruler would be measured with it
  const isFree = (rulerEndMm: number, cornerMm: number) => rulerEndMm + 2 < cornerMm - armMm
  return [
    ...(isFree(leftMm + acrossMm, right)
      ? [
          boxMark(right - armMm, topMm - strokeMm / 2, armMm, strokeMm),
          boxMark(right - strokeMm / 2, topMm, strokeMm, armMm),
        ]
      : []),
    ...(isFree(topMm + downMm, bottom)
      ? [
          boxMark(leftMm, bottom - strokeMm / 2, armMm, strokeMm),
          boxMark(leftMm - strokeMm / 2, bottom - armMm, strokeMm, armMm),
        ]
      : []),
    boxMark(right - armMm, bottom - strokeMm / 2, armMm, strokeMm),
    boxMark(right - strokeMm / 2, bottom - armMm, strokeMm, armMm),
  ]
}
