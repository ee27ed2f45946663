import { hostOfLink, webLink } from '../../../shared-core/records/web-link.ts'
import { client } from '../../client/client.ts'
import { useStore } from '../../state/store.ts'

/** A typed link, with where it leads in plain sight; what is no web link stays words. */
export function WebLink({ typed, label }: { typed: string; label?: string }) {
  const link = webLink(typed)
  if (link === null) return <span>{typed}</span>
  return (
    <a
      className="shelf-link"
      href={link}
      target="_blank"
      rel="noreferrer noopener"
      onClick={(event) => {
        // a window of the application opens no pages of others: the system's browser does
        if (client().capabilities.kind !== 'window') return
        event.preventDefault()
        void client()
          .openLink(link)
          .then((failure) => failure && useStore.getState().warn(failure))
      }}
    >
      {label ?? `Open it at ${hostOfLink(link)}`}
    </a>
  )
}
