import type { SheetPrint } from '../../records/photo-sheet.ts'
import type { SheetMark, SheetPage } from '../../records/sheet.ts'
import { capital, type MeasureText, type QrRows } from '../measures.ts'
import { boxMark, textMark, wrapped } from '../sheet/wrap.ts'
import { type Corner, encodeMark } from './corner-mark.ts'
import { angleMm, type PhotoSheetPlaces, photoSheetPlaces } from './places.ts'
import { bottomOf, type Rect, rightOf } from './room.ts'

const smallMm = 2.4
const lineMm = smallMm * 1.35
const codeMm = 9
const titleMm = 3.2

/**
 * Common practice, no source: how the photo is taken, and where the phone must not be. Where there is no room for all, the first that
 * go are those of the highest number: the manual and the screen say them too.
 */
const minds = [
  {
    rank: 3,
    says: 'Print at 100 % on matt white paper. Lay the panel, the grey card and, once for each printer and paper, a chart of 24 patches into their angles.',
  },
  {
    rank: 2,
    says: 'Camera straight above, lamp from the side at 45°, phone flash off. The whole sheet in the picture, flat, with its four corners.',
  },
  { rank: 4, says: 'For the flop leave the camera and move the lamp.' },
  { rank: 1, says: 'Photograph when the booth has purged: a phone is an ignition source.' },
]

/**
 * A page to lay a panel on for its photo.
 * @param panel  whose code stands on it; null: for any panel
 * @throws Refusal `sheet/does-not-fit`
 */
export function layOutPhotoSheet(
  print: SheetPrint,
  panel: { code: string; title: string } | null,
  measure: MeasureText,
  qrRows: QrRows,
): SheetPage {
  const places = photoSheetPlaces(print.paper, print.panel)
  return {
    size: print.paper,
    marks: [
      ...places.corners.map((corner, at) => symbolMark(corner, encodeMark(print, (at + 1) as Corner))),
      ...(panel === null ? [] : [symbolMark(places.symbol, qrRows(panel.code))]),
      ...head(places, panel, print.series, measure),
      ...[places.window, places.chart, places.card].flatMap((rect) => angles(rect)),
      ...[...places.steps, ...places.colours]
        .filter(({ hex }) => hex !== '#ffffff')
        .map((patch): SheetMark => ({ kind: 'paint', ...patch })),
      ...names(places, measure),
      ...words(places.words, measure),
    ],
  }
}

const symbolMark = ({ xMm, yMm, widthMm }: Rect, rows: string[]): SheetMark => ({
  kind: 'qr',
  xMm,
  yMm,
  sideMm: widthMm,
  rows,
})

/** Just outside what is laid into them, so that nothing dark lies under its edge. */
function angles(rect: Rect): SheetMark[] {
  const { off, thick } = angleMm
  const arm = Math.min(7, rect.widthMm / 4, rect.heightMm / 4)
  const [left, top, right, bottom] = [rect.xMm - off, rect.yMm - off, rightOf(rect) + off, bottomOf(rect) + off]
  return [
    boxMark(left - thick, top - thick, arm, thick),
    boxMark(left - thick, top - thick, thick, arm),
    boxMark(right + thick - arm, top - thick, arm, thick),
    boxMark(right, top - thick, thick, arm),
    boxMark(left - thick, bottom, arm, thick),
    boxMark(left - thick, bottom + thick - arm, thick, arm),
    boxMark(right + thick - arm, bottom, arm, thick),
    boxMark(right, bottom + thick - arm, thick, arm),
  ]
}

/** The code as large as it goes, below it the title; and which sheets this one belongs to. */
function head(
  { head: room }: PhotoSheetPlaces,
  panel: { code: string; title: string } | null,
  series: number,
  measure: MeasureText,
): SheetMark[] {
  const text = panel?.code ?? 'Photo sheet'
  const sizeMm = Math.min(codeMm, room.widthMm / measure(text, 'bold', 1))
  const said = `Sheet ${series}`
  const lines = wrapped(panel?.title ?? 'for any panel', {
    widthMm: room.widthMm,
    sizeMm: titleMm,
    face: 'regular',
    measure,
  })
  return [
    textMark(text, room.xMm, room.yMm + sizeMm * capital, sizeMm, 'bold'),
    ...lines
      .slice(0, 2)
      .map((line, at) => textMark(line, room.xMm, room.yMm + codeMm * capital + (1.6 + 1.3 * at) * titleMm, titleMm)),
    textMark(said, rightOf(room) - measure(said, 'regular', smallMm), bottomOf(room), smallMm),
  ]
}

/** What is laid where: small, in a corner, so that an empty place is still mostly white. */
function names({ window, card, chart, shared }: PhotoSheetPlaces, measure: MeasureText): SheetMark[] {
  const named: [Rect, string][] = [
    [window, 'Panel'],
    [chart, shared ? 'Chart of 24 patches, or grey card' : 'Chart of 24 patches'],
    ...(shared ? [] : [[card, 'Grey card'] as [Rect, string]]),
  ]
  return named
    .filter(([rect, text]) => measure(text, 'regular', smallMm) + 2 < rect.widthMm)
    .map(([rect, text]) => textMark(text, rect.xMm + 1.5, rect.yMm + 1.5 + smallMm, smallMm))
}

/** Whole sentences only. */
function words(room: Rect, measure: MeasureText): SheetMark[] {
  for (let most = minds.length; most > 0; most--) {
    const marks: SheetMark[] = []
    let baselineMm = room.yMm + smallMm
    for (const { says } of minds.filter(({ rank }) => rank <= most)) {
      for (const line of wrapped(says, { widthMm: room.widthMm, sizeMm: smallMm, face: 'regular', measure })) {
        marks.push(textMark(line, room.xMm, baselineMm, smallMm))
        baselineMm += lineMm
      }
      baselineMm += 0.4 * lineMm
    }
    if (baselineMm - 1.4 * lineMm <= bottomOf(room)) return marks
  }
  return []
}
