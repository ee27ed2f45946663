import type { Found } from '../../../shared-core/records/proposal.ts'
import type { SymbolHints } from '../symbols/read-symbols.ts'

/** What the worker is asked, and what it answers; one at a time. */
export type LookTask = { path: string }
export type LookAnswer =
  | { ok: true; found: Found }
  /** `refusal`: of the photo, in the user's words. */
  | { ok: false; refusal: { code: string; message: string; remedy: string } | null; text: string }

/** What the worker's own worker is asked; it answers with the symbols. */
export type SymbolsTask = { grey: { width: number; height: number; data: Uint8Array }; hints: SymbolHints }
