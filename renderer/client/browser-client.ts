import type { Answered, CallName, Event, Failure } from '../../shared-core/contract/calls.ts'
import { type Capabilities, pictureBase } from '../../shared-core/contract/host.ts'
import { noWebLink, webLink } from '../../shared-core/records/web-link.ts'
import { type Client, stopped } from './client.ts'

const tokenKey = 'overground-token'

/** The token stands in the address once; it is kept for this tab and taken out of sight. */
function takeToken(): string {
  const given = /[#&]token=([^&]+)/.exec(location.hash)?.[1]
  if (given) {
    sessionStorage.setItem(tokenKey, given)
    history.replaceState(history.state, '', location.pathname + location.search)
  }
  return given ?? sessionStorage.getItem(tokenKey) ?? ''
}

/** The page in an ordinary browser: calls over HTTP, events as a stream, pictures by address. */
export async function browserClient(): Promise<Client> {
  const token = takeToken()
  const headers = { 'x-token': token }
  const entered = await fetch('/session', { method: 'POST', headers })
  if (!entered.ok) throw new Error('session')
  const capabilities = (await (await fetch('/capabilities')).json()) as Capabilities
  const listeners = new Set<(event: Event) => void>()
  const stream = new EventSource('/events')
  stream.addEventListener('message', (message: MessageEvent<string>) => {
    const event = JSON.parse(message.data) as Event
    for (const listener of listeners) listener(event)
  })

  async function call<N extends CallName>(name: N, input: unknown): Promise<Answered<N>> {
    try {
      const response = await fetch(`/call/${name}`, {
        method: 'POST',
        headers: { ...headers, 'content-type': 'application/json' },
        body: JSON.stringify(input),
      })
      if (!response.ok) return stopped
      return (await response.json()) as Answered<N>
    } catch {
      return stopped
    }
  }

  const openDocument = async (documentId: string, fileName = ''): Promise<Failure | null> => {
    if (fileName !== '' && !fileName.endsWith('.pdf')) {
      // nothing to look at: it goes to the downloads without a page of its own
      const link = document.createElement('a')
      link.href = `/document/${documentId}`
      link.download = fileName
      link.click()
      return null
    }
    return viewDocument(documentId)
  }

  const viewDocument = async (documentId: string): Promise<Failure | null> => {
    const opened = window.open(`/document/${documentId}`, '_blank')
    if (opened) return null
    return {
      code: 'label/window-kept-shut',
      message: 'The browser kept the page with the document shut.',
      remedy: 'Allow this page to open windows, then try again.',
    }
  }

  return {
    capabilities,
    call,
    onEvent(listener) {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },
    pictureUrl: (key) => pictureBase + key,
    async stage(file) {
      const response = await fetch(`/upload?name=${encodeURIComponent(file.name)}`, {
        method: 'POST',
        headers: { ...headers, 'content-type': 'application/octet-stream' },
        body: file,
      })
      if (!response.ok) throw new Error(`upload: ${response.status}`)
      return ((await response.json()) as { path: string }).path
    },
    pickFolder: async () => null,
    pickSave: async () => null,
    async printLabels(input) {
      const drawn = await call('sheets.drawPdf', { wanted: input })
      return drawn.ok ? openDocument(drawn.value.documentId) : drawn.error
    },
    openDocument,
    viewDocument,
    async details() {
      try {
        const response = await fetch('/details', { method: 'POST', headers })
        return response.ok ? ((await response.json()) as { details: string }).details : ''
      } catch {
        return '' // the host has ended: there is nobody to tell
      }
    },
    openLogs: async () => null,
    async openLink(link) {
      const safe = webLink(link)
      // without an opener the new page cannot reach this one; that also hides whether it came
      if (safe !== null) window.open(safe, '_blank', 'noopener,noreferrer')
      return safe === null ? noWebLink : null
    },
  }
}
