import { papers } from '../../../shared-core/label/sheet/paper.ts'
import { ChooseSize, labelLimits, paperLimits } from './choose-size.tsx'
import { SheetSeries } from './sheet-series.tsx'
import type { PrintingChoices } from './use-printing.ts'

const inch = 25.4

/** Sizes that panels are often cut to: common practice, no source. */
const panelSizes = [
  { name: '100 × 150 mm', size: { widthMm: 100, heightMm: 150 } },
  { name: '4 × 6 in', size: { widthMm: 4 * inch, heightMm: 6 * inch } },
  { name: '6 × 4 in', size: { widthMm: 6 * inch, heightMm: 4 * inch } },
]

/** The page and the panels that it is for. */
export function ChoosePhotoSheet({ printing, choose }: Pick<PrintingChoices, 'printing' | 'choose'>) {
  return (
    <>
      <p>
        A page to lay the panel on for its photo: corners that are found again in the picture, white that shows how the
        light falls, places for card and chart, greys and colours that make it a chart itself.
      </p>
      <ChooseSize
        of="panel"
        offered={panelSizes}
        size={printing.photoPanel}
        limits={labelLimits}
        onSize={(photoPanel) => choose({ photoPanel })}
      />
      <ChooseSize
        of="page"
        offered={papers}
        size={printing.paper}
        limits={paperLimits}
        onSize={(paper) => choose({ paper })}
      />
      <SheetSeries printing={printing} choose={choose} />
      <p className="fine">Print on matt white paper, in colour, at 100 %.</p>
    </>
  )
}
