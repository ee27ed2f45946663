import { join } from 'node:path'
import { v7 } from 'uuid'
import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import { isNothingOrWords } from '../../../rack/check/exam/exam.ts'
import type { Hashed } from '../../../rack/check/hash-file.ts'
import { type KeptFile, pathOf } from '../../../rack/check/kept-files.ts'
import { deriveAnew } from '../../../rack/check/mend/derive-anew.ts'
import {
  type BroughtBack,
  beginRun,
  checkedSince,
  endRun,
  type FileFound,
  noteFiles,
  noteFound,
  type Run,
  readRuns,
} from '../../../rack/check/progress.ts'
import { type CheckWorker, withCheckWorker } from '../../../rack/check/worker/ask-worker.ts'
import { storeByHash } from '../../../rack/disk/photo-store.ts'
import type { Rack } from '../../../rack/opening/open.ts'
import type { JobHandle, Jobs } from '../../jobs.ts'
import type { BackupKeeper } from '../backups.ts'
import { pace } from './pace.ts'
import { relinkFromKnown } from './relink.ts'
import { reportOf } from './report/report.ts'

export type CheckSupport = { jobs: Jobs; backups: BackupKeeper }
const label = 'Looking through the rack'

/** The look through that was started last in each rack. */
const started = new WeakMap<Rack, string>()

/** The look through that runs in this rack, if any. */
export function runningCheck(rack: Rack, { jobs }: CheckSupport): string | null {
  const id = started.get(rack)
  return jobs.list().some((job) => job.id === id && job.state === 'running') ? (id ?? null) : null
}

/**
 * Looks through everything as a job, or goes on with what was stopped. @returns the job's id
 * @param quiet  nobody asked for it: it says nothing when all is well
 */
export function startCheck(rack: Rack, support: CheckSupport, quiet = false): string {
  const running = runningCheck(rack, support)
  if (running !== null) return running
  const id = v7()
  started.set(rack, id)
  support.jobs.start({ id, kind: 'check', label, total: 0, rackFolder: rack.folder }, (job) =>
    withCheckWorker(job.signal, async (worker) => {
      await rack.verify()
      try {
        await lookThrough(rack, worker, job, support)
      } finally {
        await noteStop(rack, job)
      }
      const second = await support.backups.describe(rack)
      const broughtBack = await relinkFromKnown(rack, second.second?.folder ?? null, job)
      if (broughtBack.length > 0) await noteBroughtBack(rack, broughtBack)
      support.backups.place.originalsMended(rack)
      const { headline, isWhole } = await reportOf(rack, support)
      if (!quiet || !isWhole || broughtBack.length > 0) job.conclude(`${headline}.`)
    }),
  )
  return id
}

/** Told until the next look through: what was whole again in silence would hide a drive that fails. */
async function noteBroughtBack(rack: Rack, broughtBack: BroughtBack[]): Promise<void> {
  const { last } = await readRuns(rack.db)
  if (last) await noteFound(rack.db, { ...last, found: { ...last.found, broughtBack } })
}

/** One that somebody stopped goes on when somebody says so; one that was cut short by itself. */
async function noteStop(rack: Rack, job: JobHandle): Promise<void> {
  if (job.stopped() !== 'cancelled') return
  const { underWay } = await readRuns(rack.db)
  if (underWay) await noteFound(rack.db, { ...underWay, found: { ...underWay.found, paused: true } })
}

const databaseOf = (rack: Rack): string => join(rack.folder, 'rack.sqlite')

async function lookThrough(rack: Rack, worker: CheckWorker, job: JobHandle, support: CheckSupport): Promise<void> {
  const run = await beginRun(rack.db)
  const rest = pace(rack, job, support.jobs)
  const files = await worker.ask({ what: 'list', database: databaseOf(rack) })
  const done = await checkedSince(rack.db, run.startedAt)
  // records, files, folders
  const total = files.length + 2
  job.progress('Looking through the records', done.size, total)
  if (run.found.exam === null) await lookThroughRecords(rack, worker, run)
  await rest(0)

  await lookThroughFiles(rack, worker, job, { run, files, done, rest, total })
  job.progress('Looking through the folders', total - 1, total)
  run.found.walked = await worker.ask({ what: 'walk', folder: rack.folder, database: databaseOf(rack) })
  await putRenamedBack(rack, worker, run, files)
  job.signal.throwIfAborted()
  await endRun(rack.db, run, new Set(files.map(({ sha256 }) => sha256)))
  job.progress('', total, total)
}

type Files = {
  run: Run
  files: readonly KeptFile[]
  done: ReadonlySet<string>
  rest: (workedMs: number) => Promise<void>
  total: number
}

async function lookThroughFiles(
  rack: Rack,
  worker: CheckWorker,
  job: JobHandle,
  { files, done, rest, total }: Files,
): Promise<void> {
  let count = done.size
  const waiting: Array<{ sha256: string; found: FileFound }> = []
  const keep = () => noteFiles(rack.db, waiting.splice(0))
  try {
    for (const file of files) {
      if (done.has(file.sha256)) continue
      if (job.signal.aborted) break
      const began = performance.now()
      const path = pathOf(rack.folder, file)
      const hashed = await worker.ask({ what: 'hash', path, byteCount: file.byteCount })
      waiting.push({ sha256: file.sha256, found: await verdict(rack, file, hashed) })
      job.progress(file.name, ++count, total)
      if (waiting.length >= 20) await keep()
      await rest(performance.now() - began)
    }
  } finally {
    // what was looked through stays so, whatever stopped the rest
    await keep()
  }
  job.signal.throwIfAborted()
}

async function lookThroughRecords(rack: Rack, worker: CheckWorker, run: Run): Promise<void> {
  let exam = await worker.ask({ what: 'examine', database: databaseOf(rack) })
  const { rows, words } = exam.derived
  if (rows + words + exam.integrity.length > 0 && isNothingOrWords(exam.integrity)) {
    await deriveAnew(rack)
    exam = await worker.ask({ what: 'examine', database: databaseOf(rack) })
    run.found.derivedMended = Math.max(rows, words, 1)
  }
  run.found.exam = exam
  await noteFound(rack.db, run)
}

/** What a kept file is, by what its bytes are. @throws where the drive fails, so that nothing is called lost for it */
export async function verdict(rack: Rack, file: KeptFile, hashed: Hashed): Promise<FileFound> {
  switch (hashed.is) {
    case 'read':
      return hashed.sha256 === file.sha256 ? 'whole' : 'damaged'
    case 'other-size':
      return 'damaged'
    case 'absent':
      // a drive that was pulled out has not lost every photo
      await rack.verify()
      return file.discarded && (await wasCleared(rack, file.sha256)) ? 'cleared' : 'missing'
    case 'unreadable':
      // the drive gives it back in part, or not at all; one that may not be read is there, and no business of ours
      if (hashed.code === 'EIO') return 'damaged'
      throw new Refusal(
        'photo/unreadable',
        `${file.name} is there and cannot be read (${hashed.code}), so nothing is known of it. What was looked through before it stays so.`,
        'Allow reading it, or end the program that holds it, then go on looking through.',
      )
  }
}

async function wasCleared(rack: Rack, sha256: string): Promise<boolean> {
  const row = await rack.db.selectFrom('file_check').select('found').where('sha256', '=', sha256).executeTakeFirst()
  return row?.found === 'cleared'
}

/** A lost original that lies in the rack's own folder under another name goes back to its place. */
async function putRenamedBack(rack: Rack, worker: CheckWorker, run: Run, files: readonly KeptFile[]): Promise<void> {
  const rows = await rack.db
    .selectFrom('file_check')
    .select('sha256')
    .where('found', 'in', ['missing', 'damaged'])
    .execute()
  const lost = new Map(
    files.filter(({ sha256 }) => rows.some((row) => row.sha256 === sha256)).map((file) => [file.sha256, file]),
  )
  const walked = run.found.walked
  if (lost.size === 0 || !walked || walked.unknown.length === 0) return
  const places = walked.unknown.map(({ path }) => join(rack.folder, ...path.split('/')))
  const sizes = [...lost.values()].flatMap(({ byteCount }) => byteCount ?? [])
  const anySize = [...lost.values()].some(({ byteCount }) => byteCount === null)
  for (const { path, sha256 } of await worker.ask({ what: 'search', places, sizes, anySize })) {
    const file = lost.get(sha256)
    if (!file) continue
    await storeByHash(rack.folder, file.kind, path, file.extension)
    await noteFiles(rack.db, [{ sha256, found: 'whole' }])
    lost.delete(sha256)
    run.found.renamed.push(file.name)
  }
}
