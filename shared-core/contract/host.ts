import type { Printable } from '../records/sheet.ts'
import type { Event, Failure } from './calls.ts'

/** What the host around the page can do: data, so that screens need no branches. */
export type Capabilities = {
  /** A window of the application, or a tab of an ordinary browser. */
  kind: 'window' | 'browser'
  /** The system's own dialog can choose a folder. */
  canPickFolder: boolean
  /** Labels go through the system's print dialog; otherwise their PDF opens. */
  canPrint: boolean
  /** The folder of the logs can be shown by the system. */
  canOpenLogs: boolean
}

/**
 * What a picture's key is put behind to make its address on the page's own host. A key is written as it is, its parts encoded.
 * Pictures lie beside the page, so that it may also look at their pixels.
 */
export const pictureBase = '/picture/'

/** What a call comes back with, on its way through a host. */
export type Reply<T = unknown> = { ok: true; value: T } | { ok: false; error: Failure }

/** What a print page draws. */
export type PrintInput = Printable

/**
 * What a page finds as `window.overground` in a window of the application, and nowhere else. Without DOM types: a file
 * from the page is `unknown` here and checked on the other side.
 */
export type WindowBridge = {
  readonly capabilities: Capabilities
  call(name: string, input: unknown): Promise<Reply>
  /** Calls `listener` with every event from now on; the function returned ends that. */
  onEvent(listener: (event: Event) => void): () => void
  /** The path of a dropped, chosen or pasted `File`; empty when it has none (a picture from the clipboard). */
  pathOf(file: unknown): string
  /** Keeps bytes that have no path in the application's own folder; rejects when they cannot be written. */
  stage(name: string, bytes: Uint8Array): Promise<{ path: string }>
  /** The folder chosen, or null when the painter closed the dialog. */
  pickFolder(title: string): Promise<string | null>
  /** Asks for a new file's place, offering this name; null when the painter closed the dialog. It asks before one is replaced. */
  pickSave(title: string, fileName: string): Promise<string | null>
  /** Opens the system's print dialog for labels, sheets and cards; `printed` is false when the painter closed it. */
  printLabels(input: PrintInput): Promise<Reply<{ printed: boolean }>>
  /** For the print page `/print-labels`: what it is to draw; null in any other window. */
  printInput(): Promise<PrintInput | null>
  /** For the print page: everything is drawn, fonts included. */
  printReady(): Promise<void>
  /** Opens a kept data sheet (PDF, JPEG or PNG) with the system's own reader. */
  viewDocument(documentId: string): Promise<Reply<object>>
  /** Opens a link of the painter's own in the system's browser: http and https only. */
  openLink(link: string): Promise<Reply<object>>
  /** Versions, system and the last entries of the logs, to be copied for somebody who is to help; names nobody. */
  details(): Promise<string>
  /** Shows the folder of the logs. */
  openLogs(): Promise<Reply<object>>
  /** Asks where to keep a drawn document; `path` is null when the painter closed the dialog. */
  saveDocument(documentId: string): Promise<Reply<{ path: string | null }>>
}
