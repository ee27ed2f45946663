import { type DragEvent, useRef, useState } from 'react'
import { FieldError, type Said } from '../../parts/field-error.tsx'
import { SaveModel } from './save-model.tsx'

type Props = { onFile: (file: File) => void; said: Said | null; busy: boolean }

/** A place to drop the table on, a button for those who would rather choose, and an example for those who begin. */
export function ChooseTable({ onFile, said, busy }: Props) {
  const input = useRef<HTMLInputElement>(null)
  const [over, setOver] = useState(false)
  const drag = (event: DragEvent) => {
    if (!event.dataTransfer.types.includes('Files')) return
    event.preventDefault()
    event.dataTransfer.dropEffect = 'copy'
    setOver(true)
  }
  return (
    <div className="notebook-choose">
      <div
        className={`notebook-drop ${over ? 'is-over' : ''}`}
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
        <p className="lead">Drop your notebook here, typed up as a table: one row for each panel.</p>
        <button type="button" className="btn main" aria-disabled={busy} onClick={() => input.current?.click()}>
          {busy ? 'Reading it' : 'Choose a file'}
        </button>
        <p className="fine">
          CSV, as every spreadsheet program saves it: commas, semicolons or tabs between the columns, in any order and
          under any headings. You see what each row becomes before anything is taken in.
        </p>
        <input
          ref={input}
          type="file"
          hidden
          accept=".csv,.tsv,.txt,text/csv,text/tab-separated-values,text/plain"
          aria-label="Choose a table of panels"
          data-testid="notebook-file"
          onChange={(event) => {
            const [file] = event.target.files ?? []
            // so that the same file can be chosen again
            event.target.value = ''
            if (file) onFile(file)
          }}
        />
      </div>
      <FieldError id="notebook-wrong" said={said} />
      <div className="notebook-model">
        <p>
          <b>Not typed yet?</b> The model file has the usual columns and three panels as an example. Open it in your
          spreadsheet program and type on below.
        </p>
        <SaveModel />
      </div>
    </div>
  )
}
