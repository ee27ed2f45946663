import { useEffect, useState } from 'react'
import { Dialog } from '../../parts/dialog.tsx'

/** What `test/unit/notices.ts` writes and a test compares with what is installed. */
type Notice = { name: string; version: string; licence: string; source: string; text: number | null }
type Notices = { packages: Notice[]; texts: string[] }

const matches = ({ name, licence, source }: Notice, words: string) =>
  words
    .toLowerCase()
    .split(/\s+/)
    .every((word) => `${name} ${licence} ${source}`.toLowerCase().includes(word))

/** Everything that the program is built from, with the words of each licence. */
export function NoticesDialog({ onClose }: { onClose: () => void }) {
  const notices = useNotices()
  const [words, setWords] = useState('')
  const [chosen, setChosen] = useState<string | null>(null)
  const found = notices?.packages.filter((one) => matches(one, words)) ?? []
  const shown = found.find((one) => one.name === chosen) ?? found[0]
  return (
    <Dialog title="Licences" onClose={onClose}>
      <div className="notices-dialog">
        <div className="notices-list">
          <label className="field">
            <span>Find a part or a licence</span>
            <input
              type="search"
              className="input"
              value={words}
              maxLength={80}
              onChange={(event) => setWords(event.target.value)}
            />
          </label>
          <p className="fine" role="status">
            {notices === null ? 'Being fetched.' : `${found.length} of ${notices.packages.length} parts`}
          </p>
          <ul className="scroll" aria-label="Parts">
            {found.map((one) => (
              <li key={one.name}>
                <button
                  type="button"
                  className="notices-part"
                  aria-current={one === shown ? 'true' : undefined}
                  onClick={() => setChosen(one.name)}
                >
                  <b>{one.name}</b>
                  <span className="num">{`${one.version}  ${one.licence}`}</span>
                </button>
              </li>
            ))}
          </ul>
        </div>
        <div className="notices-read">
          {shown ? (
            <>
              <h3 className="lead">{shown.name}</h3>
              <p>{shown.source}</p>
              {/* focusable, so that it scrolls by the keyboard */}
              {/* oxlint-disable-next-line jsx-a11y/no-noninteractive-tabindex */}
              <pre className="broken-text" tabIndex={0} key={shown.name}>
                {shown.text === null ? `${shown.licence}: see its source.` : (notices?.texts[shown.text] ?? '')}
              </pre>
            </>
          ) : (
            <p>{notices === null ? '' : 'No part is called so. Write fewer letters.'}</p>
          )}
          <p className="broken-acts">
            <button type="button" className="btn main" onClick={onClose}>
              Close
            </button>
          </p>
        </div>
      </div>
    </Dialog>
  )
}

/** Fetched when it is wanted: the texts are larger than the page. */
function useNotices(): Notices | null {
  const [notices, setNotices] = useState<Notices | null>(null)
  useEffect(() => {
    let left = false
    void import('./notices.json?raw').then(({ default: text }) => {
      if (!left) setNotices(JSON.parse(text) as Notices)
    })
    return () => {
      left = true
    }
  }, [])
  return notices
}
