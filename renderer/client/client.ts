import type { Answered, CallName, Event, Failure, Input } from '../../shared-core/contract/calls.ts'
import type { Capabilities, PrintInput } from '../../shared-core/contract/host.ts'

/** All that a screen can ask for. Two transports carry it (window, browser); tests put a fake one in its place. */
export type Client = {
  readonly capabilities: Capabilities
  /** Never rejects: a broken transport answers `service/stopped`. */
  call<N extends CallName>(name: N, input: Input<N>): Promise<Answered<N>>
  /** @returns a function that ends it */
  onEvent(listener: (event: Event) => void): () => void
  /** Address of a picture by its key: `photo/<sha256>/<thumb|view|full>` or `cut/<key>`. */
  pictureUrl(key: string): string
  /** Makes a chosen, dropped or pasted file readable for the service. @returns its path there */
  stage(file: File): Promise<string>
  /** The system's folder dialog; null when there is none or the user turned back. */
  pickFolder(title: string): Promise<string | null>
  /** The system's dialog for a new file; null when there is none or the user turned back. It asks before one is replaced. */
  pickSave(title: string, fileName: string): Promise<string | null>
  /** Prints through the system's dialog (window) or opens the PDF (browser). @returns what went wrong, or null */
  printLabels(input: PrintInput): Promise<Failure | null>
  /**
   * Saves a document where the user says (window), or opens a PDF and downloads everything else (browser).
   * @param fileName  as it was drawn or written; without it a PDF is taken
   * @returns what went wrong, or null
   */
  openDocument(documentId: string, fileName?: string): Promise<Failure | null>
  /** Shows a PDF, JPEG or PNG in the reader of the system (window) or of the browser. @returns what went wrong, or null */
  viewDocument(documentId: string): Promise<Failure | null>
  /** Versions, system and the last entries of the logs, free of names; empty when the host does not answer. */
  details(): Promise<string>
  /** Shows the folder of the logs, where `capabilities.canOpenLogs`. @returns what went wrong, or null */
  openLogs(): Promise<Failure | null>
  /** Opens a web link outside of the application (window) or in a tab of its own. @returns what went wrong, or null */
  openLink(link: string): Promise<Failure | null>
}

let current: Client | undefined

/** Called once at the start (and by tests). */
export function useAsClient(chosen: Client): void {
  current = chosen
}

export function client(): Client {
  if (!current) throw new Error('the client is not set')
  return current
}

export const stopped = {
  ok: false,
  error: {
    code: 'service/stopped',
    message: 'Overground’s service does not answer.',
    remedy: 'Wait a moment and try again. If it stays like this, start Overground again.',
  },
} as const
