import { type ReactNode, useId, useRef, useState } from 'react'
import { client } from '../../../client/client.ts'
import type { Said } from '../../../parts/field-error.tsx'
import { PathInput } from '../../../parts/path-input.tsx'

/** As much as the browser's host takes. */
const mostUpload = 300 * 1024 ** 2

type Props = {
  label: string
  value: string
  onChange: (path: string) => void
  error: Said | null
  /** A rack's folder will do as well. */
  folderToo?: boolean
  children?: ReactNode
}

/** A file that is an archive: its path typed, or chosen in the system's dialog. */
export function PathField({ label, value, onChange, error, folderToo = false, children }: Props) {
  const id = useId()
  const input = useRef<HTMLInputElement>(null)
  const [said, setSaid] = useState<Said | null>(null)
  const [busy, setBusy] = useState(false)
  const choose = async (file: File) => {
    setSaid(null)
    if (client().capabilities.kind === 'browser' && file.size > mostUpload)
      return setSaid({
        message: 'This file is too large to be handed over by the browser.',
        remedy: 'Write its path into the field: Overground runs on this computer and reads it there.',
      })
    setBusy(true)
    try {
      onChange(await client().stage(file))
    } catch {
      setSaid({
        message: 'The file could not be read.',
        remedy: 'Check that its drive is still connected, then choose it again.',
      })
    }
    setBusy(false)
  }
  const pick = async () => {
    const folder = await client().pickFolder('The folder of the other rack')
    if (folder !== null) onChange(folder)
  }
  const shown = error ?? said
  return (
    <div className="field">
      <span>
        <label htmlFor={id}>{label}</label>
      </span>
      <PathInput id={id} value={value} onChange={onChange} error={shown} />
      <div className="archive-acts">
        <button type="button" className="btn" aria-disabled={busy} onClick={() => input.current?.click()}>
          {busy ? 'Reading it' : 'Choose an archive'}
        </button>
        {folderToo && client().capabilities.canPickFolder ? (
          <button type="button" className="btn" onClick={() => void pick()}>
            Choose a rack’s folder
          </button>
        ) : null}
        {children}
      </div>
      <input
        ref={input}
        type="file"
        hidden
        accept=".zip,application/zip"
        aria-label="Choose an archive"
        onChange={(event) => {
          const [file] = event.target.files ?? []
          // so that the same file can be chosen again
          event.target.value = ''
          if (file) void choose(file)
        }}
      />
    </div>
  )
}
