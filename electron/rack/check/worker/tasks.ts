import type { Exam } from '../exam/exam.ts'
import type { Hashed } from '../hash-file.ts'
import type { KeptFile } from '../kept-files.ts'
import type { RepairFindings, SalvageFacts } from '../repair/facts.ts'
import type { Walked } from '../walk.ts'

/** What the worker can be asked, and what it answers. */
export type CheckTasks = {
  examine: { ask: { database: string }; answer: Exam }
  /** The files that the records name. */
  list: { ask: { database: string }; answer: KeptFile[] }
  walk: { ask: { folder: string; database: string }; answer: Walked }
  hash: { ask: { path: string; byteCount: number | null }; answer: Hashed }
  /** Files of these sizes under these places, each with its hash. */
  search: {
    ask: { places: readonly string[]; sizes: readonly number[]; anySize: boolean }
    answer: Array<{ path: string; sha256: string }>
  }
  judge: { ask: { database: string; mend: boolean }; answer: RepairFindings }
  salvage: { ask: { database: string; to: string; name: string }; answer: SalvageFacts }
}
export type CheckTaskName = keyof CheckTasks
export type CheckAsk<N extends CheckTaskName = CheckTaskName> = { [K in N]: { what: K } & CheckTasks[K]['ask'] }[N]
export type CheckReply = { ok: true; answer: unknown } | { ok: false; text: string; code: string }
