import type { Calibration, Placement, Printable, Printer } from '../../records/sheet.ts'
import { asDrawn } from '../../records/sheet.ts'

/** Nothing to put right. */
export const unplaced: Placement = { scaleX: 1, scaleY: 1, moveXMm: 0, moveYMm: 0 }

/**
 * How a page has to be drawn for a printer, so that it comes out as it was laid out. The printer puts what is drawn at x
 * onto the paper at `scale · x + offset`; this is the inverse of that.
 */
export const placementOf = ({ scaleXPercent, scaleYPercent, offsetXMm, offsetYMm }: Calibration): Placement => ({
  scaleX: 100 / scaleXPercent,
  scaleY: 100 / scaleYPercent,
  moveXMm: 0 - (offsetXMm * 100) / scaleXPercent,
  moveYMm: 0 - (offsetYMm * 100) / scaleYPercent,
})

/** Where a point of the layout is drawn. */
export const placed = ({ scaleX, scaleY, moveXMm, moveYMm }: Placement, xMm: number, yMm: number): [number, number] => [
  xMm * scaleX + moveXMm,
  yMm * scaleY + moveYMm,
]

export const isUnplaced = ({ scaleX, scaleY, moveXMm, moveYMm }: Placement): boolean =>
  scaleX === 1 && scaleY === 1 && moveXMm === 0 && moveYMm === 0

/** Rolls go through the label printer, everything else through the one that takes pages. */
export function printerFor(wanted: Printable | { kind: 'index' } | { kind: 'list' }): Printer {
  switch (wanted.kind) {
    case 'labels':
    case 'cups':
      return wanted.stock.on === 'roll' ? 'labels' : 'paper'
    case 'calibration':
      return wanted.printer
    case 'cards':
    case 'photo-sheets':
    case 'index':
    case 'list':
      return 'paper'
  }
}

/** What was measured on the calibration page, in millimetres. */
export type Measured = { acrossMm: number; downMm: number; leftMm: number; topMm: number }

/** From a page drawn without correction: what the printer does to it. */
export const calibrationFrom = (measured: Measured, asked: Measured): Calibration => {
  const scaleX = measured.acrossMm / asked.acrossMm
  const scaleY = measured.downMm / asked.downMm
  return {
    scaleXPercent: scaleX * 100,
    scaleYPercent: scaleY * 100,
    offsetXMm: measured.leftMm - scaleX * asked.leftMm,
    offsetYMm: measured.topMm - scaleY * asked.topMm,
  }
}

/** What somebody would measure on that page, if the calibration is right. */
export const wouldMeasure = (calibration: Calibration, asked: Measured): Measured => ({
  acrossMm: (asked.acrossMm * calibration.scaleXPercent) / 100,
  downMm: (asked.downMm * calibration.scaleYPercent) / 100,
  leftMm: (asked.leftMm * calibration.scaleXPercent) / 100 + calibration.offsetXMm,
  topMm: (asked.topMm * calibration.scaleYPercent) / 100 + calibration.offsetYMm,
})

export const isAsDrawn = (calibration: Calibration): boolean =>
  (Object.keys(asDrawn) as (keyof Calibration)[]).every((key) => Math.abs(calibration[key] - asDrawn[key]) < 1e-9)
