import type { Answered, CallName } from '../../shared-core/contract/calls.ts'
import { pictureBase, type WindowBridge } from '../../shared-core/contract/host.ts'
import { type Client, stopped } from './client.ts'

/** The page in a window: everything goes over the preload's bridge. */
export function windowClient(bridge: WindowBridge): Client {
  async function call<N extends CallName>(name: N, input: unknown): Promise<Answered<N>> {
    try {
      return (await bridge.call(name, input)) as Answered<N>
    } catch {
      return stopped
    }
  }
  return {
    capabilities: bridge.capabilities,
    call,
    onEvent: (listener) => bridge.onEvent(listener),
    pictureUrl: (key) => pictureBase + key,
    async stage(file) {
      const path = bridge.pathOf(file)
      return path === '' ? (await bridge.stage(file.name, new Uint8Array(await file.arrayBuffer()))).path : path
    },
    pickFolder: (title) => bridge.pickFolder(title),
    pickSave: (title, fileName) => bridge.pickSave(title, fileName),
    async printLabels(input) {
      const printed = await bridge.printLabels(input)
      return printed.ok ? null : printed.error
    },
    async openDocument(documentId) {
      const saved = await bridge.saveDocument(documentId)
      return saved.ok ? null : saved.error
    },
    async viewDocument(documentId) {
      const shown = await bridge.viewDocument(documentId)
      return shown.ok ? null : shown.error
    },
    details: () => bridge.details().catch(() => ''),
    async openLogs() {
      const shown = await bridge.openLogs()
      return shown.ok ? null : shown.error
    },
    async openLink(link) {
      const opened = await bridge.openLink(link)
      return opened.ok ? null : opened.error
    },
  }
}
