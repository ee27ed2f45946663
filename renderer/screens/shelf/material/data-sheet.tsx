import { type DragEvent, useRef, useState } from 'react'
import type { Material } from '../../../../shared-core/records/mixture.ts'
import { webLink } from '../../../../shared-core/records/web-link.ts'
import { ChangeButton, canChange } from '../../../parts/change-only.tsx'
import { act } from '../../../state/asking.ts'
import { attachSheet, openSheet } from '../sheet-actions.ts'
import { WebLink } from '../web-link.tsx'

/** A data sheet kept in the rack, and where else it is found. A file may be dropped anywhere on it. */
export function DataSheet({ material }: { material: Material }) {
  const { id, dataSheet, dataSheetFile } = material
  const input = useRef<HTMLInputElement>(null)
  const [over, setOver] = useState(false)
  const [busy, setBusy] = useState(false)
  const attach = async (file: File | undefined) => {
    if (!file || busy || !canChange()) return
    setBusy(true)
    await attachSheet(id, file)
    setBusy(false)
  }
  const drag = (event: DragEvent) => {
    if (!event.dataTransfer.types.includes('Files')) return
    event.preventDefault()
    event.dataTransfer.dropEffect = 'copy'
    setOver(true)
  }
  return (
    <section
      className={`block material-sheet ${over ? 'is-over' : ''}`}
      onDragEnter={drag}
      onDragOver={drag}
      onDragLeave={() => setOver(false)}
      onDrop={(event) => {
        setOver(false)
        if (!event.dataTransfer.types.includes('Files')) return
        event.preventDefault()
        void attach(event.dataTransfer.files[0])
      }}
    >
      <h2>Data sheet</h2>
      {dataSheetFile ? <p className="material-file">{dataSheetFile.name}</p> : null}
      <p className="shelf-acts">
        {dataSheetFile ? (
          <button type="button" className="btn" onClick={() => void openSheet(id)}>
            Open it
          </button>
        ) : null}
        <ChangeButton
          type="button"
          className={dataSheetFile ? 'btn plain' : 'btn'}
          aria-disabled={busy}
          onClick={() => input.current?.click()}
        >
          {busy ? 'Taking it in' : dataSheetFile ? 'Put in another' : 'Add a file'}
        </ChangeButton>
        {dataSheetFile ? (
          <ChangeButton
            type="button"
            className="btn plain"
            onClick={() => void act('shelf.detachDataSheet', { materialId: id })}
          >
            Take it out
          </ChangeButton>
        ) : null}
      </p>
      {dataSheetFile ? null : <p className="fine">PDF, JPEG or PNG; or drop it here. It is kept in the rack.</p>}
      <input
        ref={input}
        type="file"
        hidden
        accept=".pdf,.jpg,.jpeg,.png,application/pdf,image/jpeg,image/png"
        aria-label="Keep a data sheet’s file"
        data-testid="data-sheet-file"
        onChange={(event) => {
          const [file] = event.target.files ?? []
          // so that the same file can be chosen again
          event.target.value = ''
          void attach(file)
        }}
      />
      {dataSheet === '' ? null : webLink(dataSheet) === null ? <p>{dataSheet}</p> : <WebLink typed={dataSheet} />}
    </section>
  )
}
