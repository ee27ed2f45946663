import { type DragEvent, useRef, useState } from 'react'
import { FieldError, type Said } from '../../parts/field-error.tsx'

/** A place to drop the file on, and a button for those who would rather choose. */
export function ChooseFile({ onFile, said, busy }: { onFile: (file: File) => void; said: Said | null; busy: boolean }) {
  const input = useRef<HTMLInputElement>(null)
  const [over, setOver] = useState(false)
  const drag = (event: DragEvent) => {
    if (!event.dataTransfer.types.includes('Files')) return
    event.preventDefault()
    event.dataTransfer.dropEffect = 'copy'
    setOver(true)
  }
  return (
    <>
      <div
        className={`instrument-drop ${over ? 'is-over' : ''}`}
        onDragEnter={drag}
        onDragOver={drag}
        onDragLeave={() => setOver(false)}
        onDrop={(event) => {
          setOver(false)
          const [file] = event.dataTransfer.files
          if (!file) return
          event.preventDefault()
          onFile(file)
        }}
      >
        <p className="lead">Drop the file here that the instrument’s program exported.</p>
        <button type="button" className="btn main" aria-disabled={busy} onClick={() => input.current?.click()}>
          {busy ? 'Reading it' : 'Choose a file'}
        </button>
        <p className="fine">
          CGATS, CxF3, or CSV with a line of headings: Lab, or one column for each wavelength. A spectrum is kept and
          worked out to Lab D50, 2°.
        </p>
        <input
          ref={input}
          type="file"
          hidden
          accept=".txt,.cgats,.cxf,.xml,.csv,.tsv,.cie,.it8,text/plain,text/csv,text/xml,application/xml"
          aria-label="Choose a file"
          data-testid="instrument-file"
          onChange={(event) => {
            const [file] = event.target.files ?? []
            // so that the same file can be chosen again
            event.target.value = ''
            if (file) onFile(file)
          }}
        />
      </div>
      <FieldError id="instrument-wrong" said={said} />
    </>
  )
}
