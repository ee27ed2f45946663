import './sheet.css'
import { useState } from 'react'
import { useShallow } from 'zustand/react/shallow'
import { labelSizes } from '../../../shared-core/label/layout.ts'
import { cardSizes } from '../../../shared-core/label/sheet/paper.ts'
import {
  type LabelStock,
  type PaperSize,
  type Printable,
  type Printer,
  Shown,
} from '../../../shared-core/records/sheet.ts'
import { Dialog } from '../../parts/dialog.tsx'
import { NumberField } from '../../parts/number-field.tsx'
import { type PrintKind, useStore } from '../../state/store.ts'
import { ChooseGrid } from './choose-grid.tsx'
import { ChoosePhotoSheet } from './choose-photo-sheet.tsx'
import { ChooseSize, labelLimits } from './choose-size.tsx'
import { MeasurePrinter } from './measure-printer.tsx'
import { PrintFrame } from './print-frame.tsx'
import { PrintIndex } from './print-index.tsx'
import { Ticks } from './ticks.tsx'
import { usePrinting, useWording } from './use-printing.ts'

const kinds: readonly (readonly [kind: PrintKind, name: string])[] = [
  ['label', 'Labels'],
  ['sheet', 'Sheet of labels'],
  ['card', 'Cards for the back'],
  ['photo', 'Photo sheets'],
  ['index', 'Index with pictures'],
]

/** Everything that can be printed of panels, and sheets for photos of any panel. */
export function PrintDialog() {
  const [printing, setView] = useStore(useShallow((s) => [s.printing, s.setView]))
  if (!printing) return null
  const close = () => setView({ printing: null })
  return (
    <OpenDialog
      panelIds={printing.panelIds}
      kind={printing.kind}
      onKind={(kind) => setView({ printing: { ...printing, kind } })}
      onClose={close}
    />
  )
}

type Props = { panelIds: string[]; kind: PrintKind; onKind: (kind: PrintKind) => void; onClose: () => void }

function OpenDialog({ panelIds, kind, onKind, onClose }: Props) {
  const choices = usePrinting()
  const { printing, choose, keep } = choices
  const [copies, setCopies] = useState(1)
  const [start, setStart] = useState(1)
  const [measuring, setMeasuring] = useState<Printer | null>(null)
  const wording = useWording()
  const close = () => {
    keep()
    onClose()
  }
  if (measuring)
    return (
      <Dialog title="Measure the printer" onClose={close}>
        <MeasurePrinter printer={measuring} size={sizeFor(measuring, kind)} onBack={() => setMeasuring(null)} />
      </Dialog>
    )

  function sizeFor(printer: Printer, of: PrintKind): PaperSize {
    if (printer === 'labels') return printing.labelSize
    return of === 'sheet' ? printing.grid.paper : printing.paper
  }
  const ids = panelIds.length === 0 ? null : panelIds
  const { shows } = printing
  const wanted = wantedFor()
  function wantedFor(): Printable | null {
    if (kind === 'photo') {
      const { paper, photoPanel: panel, sheetSeries: series } = printing
      return { kind: 'photo-sheets', panelIds, paper, panel, series }
    }
    if (ids === null || kind === 'index') return null
    if (kind === 'card') return { kind: 'cards', panelIds: ids, size: printing.cardSize, shows: shows.card, wording }
    const stock: LabelStock =
      kind === 'label' ? { on: 'roll', size: printing.labelSize } : { on: 'grid', grid: printing.grid, start }
    return { kind: 'labels', panelIds: ids, stock, copies, shows: shows.label, wording }
  }
  return (
    <Dialog title={titleOf(panelIds.length, kind)} onClose={close}>
      <div className="print-pair print-kinds" role="group" aria-label="What to print">
        {kinds
          .filter(([one]) => ids !== null || one === 'photo' || one === 'index')
          .map(([one, name]) => (
            <button key={one} type="button" aria-pressed={one === kind} onClick={() => onKind(one)}>
              {name}
            </button>
          ))}
      </div>
      {wanted === null ? (
        <PrintIndex choices={choices} panelIds={panelIds} onMeasure={setMeasuring} onClose={close} />
      ) : (
        <PrintFrame
          wanted={wanted}
          of={kind === 'label' ? 'label' : kind === 'card' ? 'card' : 'page'}
          onPrint={keep}
          onMeasure={setMeasuring}
          onClose={close}
        >
          {kind === 'label' ? (
            <ChooseSize
              of="label"
              offered={labelSizes}
              size={printing.labelSize}
              limits={labelLimits}
              onSize={(labelSize) => choose({ labelSize })}
            />
          ) : null}
          {kind === 'card' ? (
            <ChooseSize
              of="card"
              offered={cardSizes}
              size={printing.cardSize}
              limits={labelLimits}
              onSize={(cardSize) => choose({ cardSize })}
            />
          ) : null}
          {kind === 'sheet' ? (
            <ChooseGrid grid={printing.grid} start={start} onGrid={(grid) => choose({ grid })} onStart={setStart} />
          ) : null}
          {kind === 'photo' ? <ChoosePhotoSheet printing={printing} choose={choose} /> : null}
          {kind === 'label' || kind === 'sheet' ? (
            <div className="print-fields">
              <NumberField
                label="Copies of each"
                value={copies}
                min={1}
                max={99}
                digits={0}
                onValue={(value) => value !== null && setCopies(Math.round(value))}
              />
            </div>
          ) : null}
          {kind === 'photo' ? null : (
            <Ticks
              offered={Shown.options}
              ticked={kind === 'card' ? shows.card : shows.label}
              onTick={(ticked) => choose({ shows: { ...shows, [kind === 'card' ? 'card' : 'label']: ticked } })}
            />
          )}
        </PrintFrame>
      )}
    </Dialog>
  )
}

function titleOf(count: number, kind: PrintKind): string {
  if (count === 0 && kind === 'photo') return 'Print a photo sheet'
  if (count === 0 || (kind === 'index' && count === 1)) return 'Print the index'
  return count === 1 ? 'Print' : `Print ${count} panels`
}
