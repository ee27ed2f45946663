import './instrument.css'
import { useState } from 'react'
import type { ExchangeFormat } from '../../../shared-core/exchange/measured.ts'
import { client } from '../../client/client.ts'
import { Dialog } from '../../parts/dialog.tsx'
import { FieldError, type Said } from '../../parts/field-error.tsx'
import { decimalSign } from '../../parts/say-numbers.ts'
import { useStore } from '../../state/store.ts'
import { useInstrument } from './instrument-state.ts'

const formats: readonly { format: ExchangeFormat; name: string; about: string }[] = [
  {
    format: 'csv',
    name: 'CSV',
    about: 'A table for spreadsheets, one line for each reading, with its ± and how it was got.',
  },
  { format: 'cgats', name: 'CGATS', about: 'The text form of ISO 28178, which programs for instruments read.' },
  {
    format: 'cxf',
    name: 'CxF3',
    about: 'The XML form of ISO 17972, with light, observer and geometry of each reading.',
  },
]

/** Readings into a file: in which form, and which of them. */
export function ExportDialog() {
  const exporting = useInstrument((s) => s.exporting)
  if (!exporting) return null
  return <OpenExportDialog {...exporting} />
}

const close = () => useInstrument.setState({ exporting: null })

function OpenExportDialog({ of, what }: NonNullable<ReturnType<typeof useInstrument.getState>['exporting']>) {
  const decimal = useStore((s) => decimalSign(s.settings))
  const [format, setFormat] = useState<ExchangeFormat>('csv')
  const [instrumentOnly, setInstrumentOnly] = useState(false)
  const [said, setSaid] = useState<Said | null>(null)
  const [busy, setBusy] = useState(false)
  async function save() {
    if (busy) return
    setBusy(true)
    const written = await client().call('exchange.export', { of, instrumentOnly, format, decimal })
    const trouble = written.ok
      ? await client().openDocument(written.value.documentId, written.value.fileName)
      : written.error
    setBusy(false)
    setSaid(trouble)
    if (!trouble) close()
  }
  return (
    <Dialog title={`Export the readings of ${what}`} onClose={close}>
      <div className="pair" role="group" aria-label="Form of the file">
        {formats.map((offered) => (
          <button
            key={offered.format}
            type="button"
            aria-pressed={offered.format === format}
            onClick={() => setFormat(offered.format)}
          >
            {offered.name}
          </button>
        ))}
      </div>
      <p>{formats.find((offered) => offered.format === format)?.about}</p>
      <label className="check">
        <input type="checkbox" checked={instrumentOnly} onChange={(event) => setInstrumentOnly(event.target.checked)} />
        Only readings of an instrument
      </label>
      <p className="fine">
        Readings from photos go out marked as such: whoever reads them as an instrument’s would trust them too far.
      </p>
      <FieldError id="export-wrong" said={said} />
      <div className="instrument-acts">
        <button type="button" className="btn main" aria-disabled={busy} onClick={() => void save()}>
          Save the file
        </button>
        <button type="button" className="btn plain push" onClick={close}>
          Close
        </button>
      </div>
    </Dialog>
  )
}
