import { layOutSprayList, type SprayListPage, type SprayListWanted } from '../../shared-core/label/spray-list.ts'
import type { LabelWording } from '../../shared-core/records/label.ts'
import type { Panel } from '../../shared-core/records/panel.ts'
import type { Settings } from '../../shared-core/records/settings.ts'
import { measureText } from './fonts.ts'
import { drawLabelsPdf } from './labels.ts'

export const layOutList = (panels: readonly Panel[], wanted: SprayListWanted): SprayListPage[] =>
  layOutSprayList(panels, wanted, measureText)

export const drawListPdf = (pages: readonly SprayListPage[], path: string): Promise<void> =>
  drawLabelsPdf(pages, path, 'Spray list')

/** Units and decimal sign as the settings say; what they leave to the system, as this computer's language has it. */
export function wordingOf({ units, decimal }: Pick<Settings, 'units' | 'decimal'>): LabelWording {
  const { locale } = new Intl.NumberFormat().resolvedOptions()
  const comma = new Intl.NumberFormat(locale).format(1.5).includes(',')
  return {
    units: units === 'system' ? (/^en-(US|LR)$/u.test(locale) ? 'us' : 'metric') : units,
    decimal: decimal === 'system' ? (comma ? 'comma' : 'point') : decimal,
  }
}
