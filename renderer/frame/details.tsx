import './broken.css'
import { useState } from 'react'
import { client } from '../client/client.ts'
import { copyText } from '../parts/copy-text.ts'

/** For whoever is to help: copies versions, system and the last entries of the logs, shown so that anybody can read them. */
export function Details() {
  const [details, setDetails] = useState<string | null>(null)
  const [said, setSaid] = useState('')
  const copy = async () => {
    const text = `${await client().details()}${pageDetails()}`
    setDetails(text)
    setSaid(
      (await copyText(text)) ? 'Copied. It is what stands below.' : 'Mark what stands below, and copy it by hand.',
    )
  }
  const open = async () => {
    const trouble = await client().openLogs()
    setSaid(trouble ? `${trouble.message} ${trouble.remedy}` : '')
  }
  return (
    <section className="broken-details" aria-label="Details">
      <p className="broken-acts">
        <button type="button" className="btn" onClick={() => void copy()}>
          Copy details
        </button>
        {client().capabilities.canOpenLogs ? (
          <button type="button" className="btn" onClick={() => void open()}>
            Open the folder of logs
          </button>
        ) : null}
        <span className="fine">Without names, folders, titles, or anything that was typed.</span>
      </p>
      <p role="status">{said}</p>
      {details === null ? null : (
        // focusable, so that it scrolls by the keyboard
        // oxlint-disable-next-line jsx-a11y/no-noninteractive-tabindex
        <pre className="broken-text" tabIndex={0}>
          {details}
        </pre>
      )}
    </section>
  )
}

/** What only the page knows: its engine and how it is shown. */
function pageDetails(): string {
  const engine = /(?:Chrome|Firefox|Version)\/[\d.]+/.exec(navigator.userAgent)?.[0] ?? 'unknown engine'
  return `Page: ${engine}, ${innerWidth}×${innerHeight} at ${devicePixelRatio}, ${document.documentElement.dataset.theme ?? ''}\n`
}
