import type { IntakeItem } from '../../shared-core/records/job.ts'
import type { Caution } from '../../shared-core/records/photo.ts'
import { copyText } from '../parts/copy-text.ts'
import { useStore } from '../state/store.ts'

type Group = { why: Caution | null; names: string[] }

/** Groups with more names than this are folded until somebody looks. */
const mostOpen = 12

/** Photos that stay in the tray, or files that were refused. */
const thingsIn = (items: readonly IntakeItem[]): string =>
  items.some(({ fate }) => fate === 'left') ? 'photos' : 'files'

/** Refused files by their reason, the commonest first: of hundreds one wants to know what to do, and then which. */
export function RefusedFiles({ items }: { items: readonly IntakeItem[] }) {
  const groups = byReason(items)
  const things = thingsIn(items)
  return (
    <>
      {groups.map(({ why, names }, i) => (
        <li key={`${why?.code} ${i}`}>
          <span>
            {names.length > 1 ? <b>{`${names.length} ${things}: `}</b> : null}
            {names.length === 1 ? <b>{names[0]}: </b> : null}
            {why?.message} {why?.remedy}
          </span>
          {names.length > 1 ? (
            <details open={names.length <= mostOpen}>
              <summary>Which {names.length}</summary>
              <ul className="outcome-names">
                {names.map((name, at) => (
                  <li key={`${at} ${name}`}>{name}</li>
                ))}
              </ul>
            </details>
          ) : null}
        </li>
      ))}
    </>
  )
}

/** For lists too long to read here: into an e-mail, a table, a note. */
export function CopyRefused({ items }: { items: readonly IntakeItem[] }) {
  const copy = async () => {
    const { say, warn } = useStore.getState()
    if (await copyText(asText(items))) say(`Copied the names and reasons of ${items.length} ${thingsIn(items)}.`)
    else warn({ message: 'The list could not be copied.', remedy: 'Select it with the mouse and copy it.' })
  }
  return (
    <button type="button" className="btn plain" onClick={() => void copy()}>
      Copy the list
    </button>
  )
}

function byReason(items: readonly IntakeItem[]): Group[] {
  const groups = new Map<string, Group>()
  for (const { name, why } of items) {
    // the same reason may be said of figures of its own (a size, a count)
    const key = `${why?.code} ${why?.message} ${why?.remedy}`
    const group = groups.get(key)
    if (group) group.names.push(name)
    else groups.set(key, { why, names: [name] })
  }
  return [...groups.values()].toSorted((a, b) => b.names.length - a.names.length)
}

/** A line for each file: name, what happened, what to do, with tabs between, as tables take them. */
export const asText = (items: readonly IntakeItem[]): string =>
  items.map(({ name, why }) => [name, why?.message ?? '', why?.remedy ?? ''].join('\t')).join('\n')
