import { layOutSprayList, type SprayListPage, type SprayListWanted } from '../../shared-core/label/spray-list.ts'
import type { LabelWording } from '../../shared-core/records/label.ts'
import type { Panel } from '../../shared-core/records/panel.ts'
import type { Settings } from '../../shared-core/records/settings.ts'
import type { Placement } from '../../shared-core/records/sheet.ts'
import { measureText } from './fonts.ts'
import { drawLabelsPdf } from './labels.ts'

export const layOutList = (panels: readonly Panel[], wanted: SprayListWanted): SprayListPage[] =>
  layOutSprayList(panels, wanted, measureText)

/** @param placement the printer's correction, see `placementOf` */
export const drawListPdf = (pages: readonly SprayListPage[], path: string, placement: Placement): Promise<void> =>
  drawLabelsPdf(pages, path, 'Spray list', placement)

/** Units and decimal sign as the settings say; what they leave to the system, as this computer's language has it. */
export function wordingOf({ units, decimal }: Pick<Settings, 'units' | 'decimal'>): LabelWording {
  const { locale } = new Intl.NumberFormat().resolvedOptions()
  const comma = new Intl.NumberFormat(locale).format(1.5).includes(',')
  return {
    units: units === 'system' ? (/^en-(US|LR)$/u.test(locale) ? 'us' : 'metric') : units,
    decimal: decimal === 'system' ? (comma ? 'comma' : 'point') : decimal,
  }
}
