import { useState } from 'react'
import { client } from '../../client/client.ts'
import { decimalSign } from '../../parts/say-numbers.ts'
import { useStore } from '../../state/store.ts'

/** An example file with the columns that are understood. */
export function SaveModel() {
  const decimal = useStore((s) => decimalSign(s.settings))
  const [busy, setBusy] = useState(false)
  async function save() {
    if (busy) return
    setBusy(true)
    const written = await client().call('panelsCsv.writeModel', { decimal })
    const trouble = written.ok
      ? await client().openDocument(written.value.documentId, written.value.fileName)
      : written.error
    setBusy(false)
    if (trouble) useStore.getState().warn(trouble)
  }
  return (
    <button type="button" className="btn" aria-disabled={busy} onClick={() => void save()}>
      Save a model file
    </button>
  )
}
