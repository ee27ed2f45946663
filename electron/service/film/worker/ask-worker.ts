import { queuedWorker } from '../../../rack/work/queued-worker.ts'
import type { FilmAsk, FilmTaskName, FilmTasks } from './tasks.ts'

/** Built: beside this chunk; from source (tests): the .ts file itself. */
const address = new URL(import.meta.url.endsWith('.ts') ? './film-worker.ts' : './film-worker.js', import.meta.url)

/** The worker ended, or never began: not the fault of what was asked. */
export class WorkerLost extends Error {}

export type FilmWorker = {
  /** @throws WorkerLost when the worker ended; Error when the task itself failed, which is a bug */
  ask: <N extends FilmTaskName>(ask: FilmAsk<N>) => Promise<FilmTasks[N]['answer']>
  end: () => Promise<void>
}

export const startFilmWorker = (): FilmWorker =>
  queuedWorker(address, {
    failed: (text) => new Error(`The film model failed: ${text}`),
    lost: (why) => new WorkerLost(String(why)),
  }) as FilmWorker
