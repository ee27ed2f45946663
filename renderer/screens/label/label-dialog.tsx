import './label.css'
import { useEffect, useState } from 'react'
import { useShallow } from 'zustand/react/shallow'
import { labelSizes } from '../../../shared-core/label/layout.ts'
import { parseNumber } from '../../../shared-core/mix/units.ts'
import { type LabelSize, LabelSize as LabelSizeRecord } from '../../../shared-core/records/label.ts'
import { client } from '../../client/client.ts'
import { Caution } from '../../parts/caution.tsx'
import { Dialog } from '../../parts/dialog.tsx'
import { decimalSign, usesUsUnits } from '../../parts/say-numbers.ts'
import { act, useAnswer } from '../../state/asking.ts'
import { useStore } from '../../state/store.ts'
import { loadLabelFace } from './label-face.ts'
import { LabelSheet } from './label-sheet.tsx'

/** Labels of the chosen panels: size, a true preview, print or PDF. */
export function LabelDialog() {
  const [panelIds, setView] = useStore(useShallow((s) => [s.labelsFor, s.setView]))
  if (!panelIds || panelIds.length === 0) return null
  return <OpenLabelDialog panelIds={panelIds} close={() => setView({ labelsFor: null })} />
}

function OpenLabelDialog({ panelIds, close }: { panelIds: string[]; close: () => void }) {
  const [size, setSize] = useState<LabelSize>(labelSizes[0]!.size)
  const [free, setFree] = useState(false)
  const [busy, setBusy] = useState(false)
  const [faceReady, setFaceReady] = useState(false)
  useEffect(() => void loadLabelFace().then(() => setFaceReady(true)), [])
  const [decimal, units] = useStore(
    useShallow((s) => [decimalSign(s.settings), usesUsUnits(s.settings) ? ('us' as const) : ('metric' as const)]),
  )
  const wanted = { panelIds, size, wording: { decimal, units } }
  const { value, error } = useAnswer('labels.layOut', wanted)
  const canPrint = client().capabilities.canPrint
  const warn = useStore((s) => s.warn)

  async function print() {
    setBusy(true)
    const trouble = await client().printLabels(wanted)
    setBusy(false)
    if (trouble) warn(trouble)
  }
  async function savePdf() {
    setBusy(true)
    const drawn = await act('labels.drawPdf', wanted)
    const trouble = drawn && (await client().openDocument(drawn.documentId))
    setBusy(false)
    if (trouble) warn(trouble)
  }

  const pages = value?.pages ?? []
  return (
    <Dialog title={panelIds.length === 1 ? 'Print label' : `Print labels of ${panelIds.length} panels`} onClose={close}>
      <div className="pair" role="group" aria-label="Size of the label">
        {labelSizes.map((offered) => (
          <button
            key={offered.name}
            type="button"
            aria-pressed={!free && offered.size.widthMm === size.widthMm && offered.size.heightMm === size.heightMm}
            onClick={() => {
              setFree(false)
              setSize(offered.size)
            }}
          >
            {offered.name}
          </button>
        ))}
        <button type="button" aria-pressed={free} onClick={() => setFree(true)}>
          Other size
        </button>
      </div>
      {free ? <FreeSize size={size} onSize={setSize} /> : null}
      {error ? <Caution message={error.message} remedy={error.remedy} /> : null}
      <div className="label-preview scroll">
        {faceReady ? pages.map((page, i) => <LabelSheet key={i} page={page} className="label-paper" />) : null}
      </div>
      <p className="fine">
        {pages.length > panelIds.length
          ? `${pages.length} labels: what one cannot hold continues on the next, nothing is cut.`
          : `${pages.length === 1 ? '1 label, shown at its' : `${pages.length} labels, shown at their`} real size on most screens. Print at 100 %, without fitting to the page.`}
      </p>
      <div className="label-acts">
        <button type="button" className="btn main" disabled={busy || pages.length === 0} onClick={() => void print()}>
          {canPrint ? 'Print' : 'Open PDF to print'}
        </button>
        {canPrint ? (
          <button type="button" className="btn" disabled={busy || pages.length === 0} onClick={() => void savePdf()}>
            Save as PDF
          </button>
        ) : null}
        <button type="button" className="btn plain push" onClick={close}>
          Close
        </button>
      </div>
    </Dialog>
  )
}

function FreeSize({ size, onSize }: { size: LabelSize; onSize: (size: LabelSize) => void }) {
  const [width, setWidth] = useState(String(size.widthMm))
  const [height, setHeight] = useState(String(size.heightMm))
  const fits = fitting(width, height) !== null
  const take = (nextWidth: string, nextHeight: string) => {
    setWidth(nextWidth)
    setHeight(nextHeight)
    const asked = fitting(nextWidth, nextHeight)
    if (asked) onSize(asked)
  }
  return (
    <div className="label-free">
      <label className="field">
        <span>Width in mm</span>
        <input className="input" inputMode="decimal" value={width} onChange={(e) => take(e.target.value, height)} />
      </label>
      <label className="field">
        <span>Height in mm</span>
        <input className="input" inputMode="decimal" value={height} onChange={(e) => take(width, e.target.value)} />
      </label>
      {fits ? null : <Caution message="A label is 20 to 300 mm wide and 12 to 300 mm high." />}
    </div>
  )
}

/** The size typed, or null when it is none that a label can have. */
function fitting(width: string, height: string): LabelSize | null {
  const size = LabelSizeRecord.safeParse({ widthMm: parseNumber(width), heightMm: parseNumber(height) })
  return size.success ? size.data : null
}
