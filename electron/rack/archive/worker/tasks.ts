import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import type { Merged, Wish } from '../merge/merge.ts'

/** What is done beside the service, so that calls are answered meanwhile and a stranger's records are looked at apart. */
export type Tasks = {
  /** A copy of the open rack's records for an archive. */
  snapshot: { ask: { database: string; path: string; history: boolean }; answer: object }
  /** Proves records that came from elsewhere, brings them to the newest form, and looks at every row. */
  prove: { ask: { path: string }; answer: { broughtFrom: number | null } }
  /** Copies the records of another rack's folder, which is not written to, and proves the copy. */
  copyAndProve: { ask: { folder: string; path: string }; answer: { broughtFrom: number | null } }
  /** What `theirs` has that `ours` has not; `plan` is the file into which goes what is to be done, or null. */
  merge: {
    ask: { theirs: string; ours: string; wish: Wish; plan: string | null }
    answer: Merged & { operations: number; name: string; rackId: string }
  }
}
export type TaskName = keyof Tasks
export type TaskAsk = { [N in TaskName]: { name: N; ask: Tasks[N]['ask'] } }[TaskName]

export type TaskReply =
  | { ok: true; answer: unknown }
  | { ok: false; refused: { code: string; message: string; remedy: string } }
  | { ok: false; code: string; text: string }

export function replyToError(error: unknown): TaskReply {
  if (error instanceof Refusal) {
    const { code, message, remedy } = error
    return { ok: false, refused: { code, message, remedy } }
  }
  const { code, stack } = error as { code?: string; stack?: string }
  return { ok: false, code: code ?? '', text: stack ?? String(error) }
}
