import { type ReactNode, useState } from 'react'
import { isAsDrawn, printerFor } from '../../../shared-core/label/sheet/placement.ts'
import type { Printable, Printer } from '../../../shared-core/records/sheet.ts'
import { client } from '../../client/client.ts'
import { act } from '../../state/asking.ts'
import { useStore } from '../../state/store.ts'
import { Preview, usePreview } from './preview.tsx'

type Props = {
  wanted: Printable
  /** "label", "card", "page": what is counted. */
  of: string
  /** What can be chosen, at the left. */
  children: ReactNode
  /** Something is printed: what was chosen is kept. */
  onPrint: () => void
  onMeasure: (printer: Printer) => void
  onClose: () => void
}

/** Choices at the left, a true preview at the right, and below what to do with it. */
export function PrintFrame({ wanted, of, children, onPrint, onMeasure, onClose }: Props) {
  const [busy, setBusy] = useState(false)
  const warn = useStore((s) => s.warn)
  const { laidOut, error, isNew } = usePreview(wanted)
  const { canPrint } = client().capabilities
  const cannot = busy || !isNew

  async function print() {
    setBusy(true)
    onPrint()
    const trouble = await client().printLabels(wanted)
    setBusy(false)
    if (trouble) warn(trouble)
  }
  async function savePdf() {
    setBusy(true)
    onPrint()
    const drawn = await act('sheets.drawPdf', { wanted })
    const trouble = drawn && (await client().openDocument(drawn.documentId, drawn.fileName))
    setBusy(false)
    if (trouble) warn(trouble)
  }

  return (
    <>
      <div className="print">
        <div className="print-choices scroll">
          {children}
          <PrinterLine printer={printerFor(wanted)} onMeasure={onMeasure} />
        </div>
        <Preview
          laidOut={laidOut}
          error={error}
          of={of}
          guides={'stock' in wanted && wanted.stock.on === 'grid' ? wanted.stock.grid : null}
        />
      </div>
      <div className="print-acts">
        <button type="button" className="btn main" disabled={cannot} onClick={() => void print()}>
          {canPrint ? 'Print' : 'Open PDF to print'}
        </button>
        {canPrint ? (
          <button type="button" className="btn" disabled={cannot} onClick={() => void savePdf()}>
            Save as PDF
          </button>
        ) : null}
        <p className="fine">Print at 100 %, without fitting to the page.</p>
        <button type="button" className="btn plain push" onClick={onClose}>
          Close
        </button>
      </div>
    </>
  )
}

/** Whether the printer was measured, and the way to do it. */
export function PrinterLine({ printer, onMeasure }: { printer: Printer; onMeasure: (printer: Printer) => void }) {
  const isMeasured = useStore((s) => !isAsDrawn(s.settings.printing.calibration[printer]))
  return (
    <div className="print-printer">
      <p className="fine">
        {printer === 'labels' ? 'Label printer' : 'Page printer'}
        {isMeasured ? ': its correction is applied.' : ': not measured, printed as it is.'}
      </p>
      <button type="button" className="btn" onClick={() => onMeasure(printer)}>
        Measure the printer
      </button>
    </div>
  )
}
