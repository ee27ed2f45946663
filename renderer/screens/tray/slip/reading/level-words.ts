import type { Level } from '../../../../../shared-core/records/colour.ts'

/** How a colour was calibrated, to stand after its figures. */
export const levelInWords: Record<Level, string> = {
  uncalibrated: 'not calibrated',
  card: 'by the grey card alone',
  tiles: 'by card and tiles',
  sheet: 'by the photo sheet',
  chart: 'by the chart in the picture',
  'set-up': 'by the card and its set-up',
  typed: 'typed in',
  instrument: 'by an instrument',
  predicted: 'predicted',
}
