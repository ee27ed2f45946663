import type { PaperSize, SheetMark, SheetPage } from '../../records/sheet.ts'
import { capital, type MeasureText, type QrRows } from '../measures.ts'
import { boxMark, textMark, wrapped } from '../sheet/wrap.ts'
import { cornerText } from './corner-text.ts'
import { type PhotoSheetPlaces, photoSheetPlaces, type Rect } from './places.ts'

const strokeMm = 0.3
const smallMm = 2.4
const lineMm = smallMm * 1.35

/** Common practice, no source; how the photo is taken, and where the phone must not be. */
const minds = [
  'Lay the panel into the angles and the grey card or chart into its frame.',
  'Camera straight above, lamp from the side at 45°, phone flash off. The whole sheet in the picture, with its four corners.',
  'For the flop leave the camera and move the lamp.',
  'Photograph when the booth has purged: a phone is an ignition source.',
]

/**
 * A page to lay a panel on for its photo.
 * @param panel  whose code stands on it; null: for any panel
 * @throws Refusal `sheet/does-not-fit`
 */
export function layOutPhotoSheet(
  paper: PaperSize,
  size: { widthMm: number; heightMm: number },
  panel: { code: string; title: string } | null,
  measure: MeasureText,
  qrRows: QrRows,
): SheetPage {
  const places = photoSheetPlaces(paper, size)
  const code = panel?.code ?? null
  const symbols = places.corners.map(
    (corner, at): SheetMark => qrMark(corner, qrRows(cornerText(cornerNumber(at), places, code))),
  )
  return {
    size: paper,
    marks: [
      ...symbols,
      ...angles(places.window, 8),
      ...frame(places.card),
      ...patchMarks(places),
      ...head(places, panel, measure),
      ...(code === null ? [] : [qrMark(places.symbol, qrRows(code))]),
      ...beside(places, panel, measure),
      ...within(places.window, 'Panel', measure),
      ...within(places.card, 'Grey card or chart', measure),
      ...words(code === null ? withSymbol(places) : places.words, measure),
    ],
  }
}

const cornerNumber = (at: number): 1 | 2 | 3 | 4 => (at === 0 ? 1 : at === 1 ? 2 : at === 2 ? 3 : 4)

const qrMark = ({ xMm, yMm, widthMm }: Rect, rows: string[]): SheetMark => ({
  kind: 'qr',
  xMm,
  yMm,
  sideMm: widthMm,
  rows,
})

/** Just outside what is laid into them, so that nothing dark lies under its edge. */
function angles({ xMm, yMm, widthMm, heightMm }: Rect, armMm: number): SheetMark[] {
  const off = 1
  const [left, top, right, bottom] = [xMm - off, yMm - off, xMm + widthMm + off, yMm + heightMm + off]
  return [
    boxMark(left - strokeMm, top - strokeMm, armMm, strokeMm),
    boxMark(left - strokeMm, top - strokeMm, strokeMm, armMm),
    boxMark(right + strokeMm - armMm, top - strokeMm, armMm, strokeMm),
    boxMark(right, top - strokeMm, strokeMm, armMm),
    boxMark(left - strokeMm, bottom, armMm, strokeMm),
    boxMark(left - strokeMm, bottom + strokeMm - armMm, strokeMm, armMm),
    boxMark(right + strokeMm - armMm, bottom, armMm, strokeMm),
    boxMark(right, bottom + strokeMm - armMm, strokeMm, armMm),
  ]
}

const frame = ({ xMm, yMm, widthMm, heightMm }: Rect): SheetMark[] => [
  boxMark(xMm, yMm, widthMm, strokeMm),
  boxMark(xMm, yMm + heightMm - strokeMm, widthMm, strokeMm),
  boxMark(xMm, yMm, strokeMm, heightMm),
  boxMark(xMm + widthMm - strokeMm, yMm, strokeMm, heightMm),
]

const patchMarks = ({ patches }: PhotoSheetPlaces): SheetMark[] =>
  patches.map(({ hex, ...rect }) => ({ kind: 'paint', ...rect, hex }))

function head({ head: room }: PhotoSheetPlaces, panel: { code: string } | null, measure: MeasureText): SheetMark[] {
  const text = panel?.code ?? 'Photo sheet'
  const sizeMm = Math.min(9, room.widthMm / measure(text, 'bold', 1))
  return [textMark(text, room.xMm, room.yMm + sizeMm * capital, sizeMm, 'bold')]
}

/** The title below the code, as far as there is room. */
function beside({ head: room }: PhotoSheetPlaces, panel: { title: string } | null, measure: MeasureText): SheetMark[] {
  if (panel === null || panel.title === '') return []
  const sizeMm = 3.2
  const [line] = wrapped(panel.title, { widthMm: room.widthMm, sizeMm, face: 'regular', measure })
  return line === undefined ? [] : [textMark(line, room.xMm, room.yMm + 9 * capital + 1.6 * sizeMm, sizeMm)]
}

const within = (rect: Rect, text: string, measure: MeasureText): SheetMark[] => [
  textMark(
    text,
    rect.xMm + (rect.widthMm - measure(text, 'regular', smallMm)) / 2,
    rect.yMm + rect.heightMm / 2,
    smallMm,
  ),
]

/** Without a panel's symbol its place belongs to the words. */
const withSymbol = ({ symbol, words: room }: PhotoSheetPlaces): Rect => ({
  ...room,
  yMm: symbol.yMm,
  heightMm: room.yMm + room.heightMm - symbol.yMm,
})

/** Whole sentences only, as many as there is room for: the manual and the screen say them too. */
function words(room: Rect, measure: MeasureText): SheetMark[] {
  const marks: SheetMark[] = []
  let baselineMm = room.yMm + smallMm
  for (const sentence of minds) {
    const lines = wrapped(sentence, { widthMm: room.widthMm, sizeMm: smallMm, face: 'regular', measure })
    if (baselineMm + (lines.length - 1) * lineMm > room.yMm + room.heightMm) break
    for (const line of lines) {
      marks.push(textMark(line, room.xMm, baselineMm, smallMm))
      baselineMm += lineMm
    }
    baselineMm += 0.4 * lineMm
  }
  return marks
}
