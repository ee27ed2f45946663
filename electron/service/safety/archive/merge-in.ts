import { rm } from 'node:fs/promises'
import { join } from 'node:path'
import { v7 } from 'uuid'
import type { Input } from '../../../../shared-core/contract/calls.ts'
import { carryOut } from '../../../rack/archive/carry-out.ts'
import { databaseName } from '../../../rack/archive/form.ts'
import { mustHaveRoom } from '../../../rack/archive/make-archive.ts'
import { archiveChanged, inWords, recordsSuspicious } from '../../../rack/archive/refusals.ts'
import { askWorker } from '../../../rack/archive/worker/ask-worker.ts'
import type { Tasks } from '../../../rack/archive/worker/tasks.ts'
import type { Rack } from '../../../rack/opening/open.ts'
import type { Context } from '../../context.ts'
import type { JobHandle } from '../../jobs.ts'
import { type Brought, bringFiles, dropFiles } from './bring-files.ts'
import { forget, type Looked, lookedAt, measureFiles } from './compare.ts'
import { mustNotBeBusy } from './make.ts'
import { openSource, type Source } from './source.ts'
import { readyWorkFolder } from './work-folder.ts'

type Planned = Tasks['merge']['answer']

/** Takes in what was looked at: one change, or none. @returns the job's id */
export async function startMerging(context: Context, input: Input<'archive.mergeIn'>): Promise<string> {
  const rack = context.rack()
  const found = lookedAt(context)
  if (!found || found.comparison.id !== input.comparisonId) throw archiveChanged()
  mustNotBeBusy(context)
  const id = v7()
  const what = {
    id,
    kind: 'import',
    label: `Taking in “${found.comparison.name}”`,
    total: 0,
    rackFolder: rack.folder,
  } as const
  context.jobs.start(what, async (job) => {
    const source = await openSource(found.comparison.path, job.signal)
    const plan = join(await readyWorkFolder(context.appFiles.folder), `${id}.plan`)
    try {
      if (source.fingerprint !== found.fingerprint) throw archiveChanged()
      job.conclude(await mergeIn(rack, found, source, input, plan, job))
      await forget(context)
    } finally {
      await rm(plan, { force: true })
      await source.close()
    }
  })
  return id
}

/** What is planned holds for one state of the rack; who works on meanwhile has it planned once more. */
const tries = 3

/** Somebody changed the rack between planning and writing. */
class MovedOn extends Error {}

async function mergeIn(
  rack: Rack,
  { records, comparison }: Looked,
  source: Source,
  input: Input<'archive.mergeIn'>,
  plan: string,
  job: JobHandle,
): Promise<string> {
  const { rules, choices, parts } = input
  for (let attempt = 1; ; attempt++) {
    await rm(plan, { force: true })
    job.progress('Working out what comes in', 0, 0)
    const ask = { theirs: records, ours: join(rack.folder, databaseName), wish: { rules, choices, parts }, plan }
    const planned = await askWorker('merge', ask, job.signal)
    if (planned.operations === 0)
      return `There is nothing in “${comparison.name}” that is not here already. Nothing was changed.`
    if (attempt === 1) {
      job.progress('Backing up first', 0, 0)
      await rack.backUp('before-merge')
      job.signal.throwIfAborted()
    }
    const names = [...planned.files.keys()]
    const { byteCount } = await measureFiles(source, names)
    await mustHaveRoom(rack.folder, byteCount)
    const brought = await bringFiles(
      rack,
      source,
      names,
      (done, total) => job.progress('Storing its photos', done, total),
      job.signal,
    )
    try {
      await write(rack, comparison.name, planned, plan, job)
      return inSentences(comparison.name, planned, brought, byteCount)
    } catch (error) {
      await dropFiles(rack, brought)
      // rows that a stranger made up, and that our tables do not take
      if (((error as { code?: string }).code ?? '').startsWith('SQLITE_CONSTRAINT'))
        throw recordsSuspicious('some do not fit together')
      if (!(error instanceof MovedOn) || attempt === tries) throw error instanceof MovedOn ? archiveChanged() : error
    }
  }
}

const nextTurn = (): Promise<void> => new Promise((resolve) => setImmediate(resolve))

async function write(rack: Rack, name: string, planned: Planned, plan: string, job: JobHandle): Promise<void> {
  await rack.change({ label: labelOf(name, planned), kept: (changeId) => job.changed(changeId) }, async (change) => {
    const { revision } = await change.db.selectFrom('rack_info').select('revision').executeTakeFirstOrThrow()
    if (revision !== planned.revision) throw new MovedOn()
    await carryOut(
      change,
      plan,
      (done, total) => job.progress('Writing', done, total),
      async () => {
        await nextTurn()
        job.signal.throwIfAborted()
      },
    )
    // a code that is given is not given again, not even after an undo
    await change.db.updateTable('rack_info').set(planned.counters).execute()
  })
}

const counted = (count: number, word: string): string => `${count} ${word}${count === 1 ? '' : 's'}`

function labelOf(name: string, { added, changed }: Planned): string {
  const panels = added + changed
  return panels > 0
    ? `take in ${counted(panels, 'panel')} from “${name}”`
    : `take in what “${name}” had beside its panels`
}

function inSentences(
  name: string,
  { added, changed, counts }: Planned,
  { missing }: Brought,
  byteCount: number,
): string {
  const came = [
    ...(added > 0 ? [`${counted(added, 'panel')} came in`] : []),
    ...(changed > 0 ? [`${counted(changed, 'panel')} got what was newer`] : []),
    ...(counts.photos - missing.length > 0
      ? [`${counted(counts.photos - missing.length, 'photo')} (${inWords(byteCount)})`]
      : []),
  ]
  const said =
    came.length > 0 ? `From “${name}”: ${came.join(', ')}.` : `From “${name}” came what was not here beside its panels.`
  const lost =
    missing.length > 0
      ? ` ${counted(missing.length, 'original')} could not be taken: not there, altered, or not what they say.`
      : ''
  return `${said}${lost} Undo takes all of it back.`
}
