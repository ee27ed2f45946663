import type { KnownSheet } from '../../../../shared-core/records/photo-sheet.ts'
import type { Proposal } from '../../../../shared-core/records/proposal.ts'

/** By what a photo will be read, in the words that stand beside its colour afterwards. */
export function howRead(
  { layout, setupId }: Pick<Proposal, 'layout' | 'setupId'>,
  known: readonly Pick<KnownSheet, 'series'>[],
): string | null {
  if (!layout) return null
  const { card, chart, sheet } = layout
  if (chart) return 'by the chart in the picture'
  if (setupId !== null && (card || sheet)) return card ? 'by the card and its set-up' : 'by its set-up'
  if (sheet && known.some(({ series }) => series === sheet.print.series)) return 'by the photo sheet'
  if (card) return sheet ? 'by the grey card: the sheet is not known yet' : 'by the grey card alone'
  return sheet ? 'not calibrated: the sheet is not known yet' : 'not calibrated'
}
