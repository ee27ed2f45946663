import type { RackCounts, Touched } from '../../../../shared-core/records/backup.ts'

/** What a database holds, told by itself. */
export type Counted = {
  version: number
  rackId: string
  rackName: string
  revision: number
  counts: RackCounts
  rows: Record<string, number>
}

/** What the records of now and of a backup do not share. */
export type Compared = {
  inRack: Counted | null
  inBackup: Counted
  gone: Touched
  back: Touched
  different: Touched
  changesLost: number
  lostSince: string | null
  /** Originals named by either, by hash: what each says of them. */
  photos: { sha256: string; format: string; inBackup: boolean; inRack: 'kept' | 'trash' | null }[]
}

/** What a photo's row said of it, for one that is to get a row again. */
export type NamedPhoto = { sha256: string; name: string; addedAt: string; inTrash: boolean }

/** What a rack that is put back must not forget of the one before: numbers that were given may stand on labels. */
export type CarriedOver = {
  rackId: string
  revision: number
  nextCode: number
  nextCup: number
  nextJob: number
  photos: NamedPhoto[]
}

/** Work on databases that no rack is open on, or beside one that is: it would keep calls waiting. */
export type Tasks = {
  /** Copies a database as it stands at one moment, and looks through the copy. `sha256` and `byteCount` are the copy's. */
  copy: { ask: { from: string; to: string }; answer: Counted & { sha256: string; byteCount: number } }
  /**
   * Looks through a database from end to end. `sha256`: what its bytes must come to, where that is known. `isStrange`: it may come
   * from anybody, and its schema has to be what our own steps make.
   */
  prove: {
    ask: { path: string; sha256: string | null; isStrange: boolean }
    answer: Counted & { sha256: string; byteCount: number }
  }
  hash: { ask: { path: string }; answer: { sha256: string; byteCount: number } }
  compare: { ask: { rack: string | null; backup: string }; answer: Compared }
  carriedOver: { ask: { path: string }; answer: CarriedOver }
}
export type TaskName = keyof Tasks
export type TaskAsk = { [N in TaskName]: { name: N; ask: Tasks[N]['ask'] } }[TaskName]

export type TaskReply =
  | { kind: 'progress'; done: number; total: number }
  | { kind: 'done'; answer: unknown }
  /** `damaged`: in the words of SQLite. */
  | { kind: 'damaged'; what: string }
  | { kind: 'failed'; code: string | null; text: string }
