import { useId } from 'react'
import { client } from '../../client/client.ts'
import type { Said } from '../../parts/field-error.tsx'
import { PathInput } from '../../parts/path-input.tsx'

type Props = {
  label: string
  value: string
  onChange: (folder: string) => void
  /** The dialog's title. */
  choose: string
  error: Said | null
}

/** A folder, typed or chosen in the system's dialog where there is one. */
export function FolderField({ label, value, onChange, choose, error }: Props) {
  const id = useId()
  const pick = async () => {
    const folder = await client().pickFolder(choose)
    if (folder !== null) onChange(folder)
  }
  return (
    <div className="field">
      <span>
        <label htmlFor={id}>{label}</label>
      </span>
      <div className="welcome-folder">
        <PathInput id={id} value={value} onChange={onChange} error={error} />
        {client().capabilities.canPickFolder ? (
          <button type="button" className="btn" onClick={() => void pick()}>
            Choose folder
          </button>
        ) : null}
      </div>
    </div>
  )
}
