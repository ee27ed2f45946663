import { rename, rm, stat } from 'node:fs/promises'
import { join } from 'node:path'
import { v7 } from 'uuid'
import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import type { RepairPlan, RepairWay } from '../../../../shared-core/records/check.ts'
import { backupName, backupsOf, damagedWhy, factsPath } from '../../../rack/backups/facts.ts'
import { listOriginals } from '../../../rack/backups/preview.ts'
import { putBack } from '../../../rack/backups/put-back.ts'
import { namesIn, type OriginalNamed } from '../../../rack/check/repair/names-in.ts'
import { type Inspected, inspectRack, keptInspection, scratchOf, wayOf } from '../../../rack/check/repair/plan.ts'
import { syncFolder } from '../../../rack/disk/durable.ts'
import { noteEvent } from '../../../rack/history/events.ts'
import { folderAbsent, refusalFrom } from '../../../rack/refusals.ts'
import type { Context } from '../../context.ts'
import type { JobHandle } from '../../jobs.ts'
import { type Named, type TakenUnknown, takeUnknown } from '../unknown-photos.ts'
import { repairedInWords } from './repair-words.ts'

/** What was found about this rack, while nobody has written to it since. */
export async function repairPlan({ current }: Context, folder: string): Promise<RepairPlan | null> {
  return (await keptInspection(folder, current.get()?.folder === folder))?.plan ?? null
}

/**
 * Puts a rack right that cannot be opened, as a job, and opens it. @returns the job's id
 * @param from  null: the best way; where somebody has to choose, it stops before anything is replaced
 * @throws Refusal `rack/folder-absent`
 */
export async function startRepair(context: Context, folder: string, from: RepairWay['from'] | null): Promise<string> {
  if (!(await stat(folder).catch(() => null))?.isDirectory()) throw folderAbsent(folder)
  const id = v7()
  const what = { id, kind: 'repair', label: 'Repairing the rack', total: 6, rackFolder: folder } as const
  context.jobs.start(what, async (job) => {
    const wasOpen = context.current.get()?.folder === folder
    if (wasOpen) await context.current.close()
    let done = 0
    const stage = (words: string) => job.progress(words, done++, 6)
    try {
      const seen = await inspected(folder, from, job, stage)
      const way = wayOf(seen.plan, from)
      if (!way) throw noSuchWay()
      if (from === null && seen.plan.choice !== null) {
        job.conclude(`${seen.plan.choice} Nothing was replaced yet: choose which is to be taken.`)
        if (wasOpen) await context.current.open(folder)
        return
      }
      job.signal.throwIfAborted()
      stage('Putting it in place')
      const setAside = await putInPlace(folder, way.from, seen, job)
      stage('Opening the rack')
      await openIt(context, folder, way.from)
      const photos = await lookAround(context, job, seen, way)
      const kept = await keepSalvage(folder, way.from, seen)
      await rm(scratchOf(folder), { recursive: true, force: true })
      job.progress('', 6, 6)
      job.conclude(repairedInWords({ way, plan: seen.plan, setAside, kept, photos }))
    } catch (error) {
      // what could be opened before is open again
      if (wasOpen && !context.current.get()) await context.current.open(folder).catch(() => undefined)
      throw error instanceof Refusal ? error : refusalFrom(error, folder)
    }
  })
  return id
}

async function inspected(
  folder: string,
  from: RepairWay['from'] | null,
  job: JobHandle,
  onStage: (stage: string) => void,
): Promise<Inspected> {
  // whoever chooses has seen what was found
  const kept = from === null ? null : await keptInspection(folder)
  return kept ?? inspectRack(folder, { signal: job.signal, onStage })
}

/** @returns the name under which the former records are kept; null where they stay, or there were none */
async function putInPlace(
  folder: string,
  from: RepairWay['from'],
  { itselfAsItIs, mended, salvaged, backup, plan }: Inspected,
  job: JobHandle,
): Promise<string | null> {
  const file = await fileOf(folder, from, { itselfAsItIs, mended, salvaged, backup })
  if (file === null) return null
  const { setAside } = await putBack(folder, file, { signal: job.signal })
  const isDoubtful = plan.ways.every((way) => way.from !== 'itself' || !way.certain)
  return setAside !== null && isDoubtful ? callDamaged(folder, setAside) : setAside
}

/** The name among the backups of what takes the database's place; null when that stays as it is. */
async function fileOf(
  folder: string,
  from: RepairWay['from'],
  { itselfAsItIs, mended, salvaged, backup }: Omit<Inspected, 'plan'>,
): Promise<string | null> {
  if (from === 'backup') return backup?.file ?? refuse()
  if (from === 'itself') return itselfAsItIs ? null : amongBackups(folder, mended ?? refuse(), 'mended')
  return amongBackups(folder, salvaged ?? refuse(), 'salvaged')
}

const refuse = (): never => {
  throw noSuchWay()
}

async function amongBackups(folder: string, path: string, why: string): Promise<string> {
  for (let turn = 1; ; turn++) {
    const name = backupName(new Date(), why, turn)
    const to = join(backupsOf(folder), name)
    if (await stat(to).catch(() => null)) continue
    await rename(path, to)
    await syncFolder(backupsOf(folder))
    return name
  }
}

/** Records that can be read and are wrong somewhere must not pass for a good backup later. */
async function callDamaged(folder: string, setAside: string): Promise<string> {
  const from = join(backupsOf(folder), setAside)
  if (setAside.includes(`-${damagedWhy}`)) return setAside
  await rm(factsPath(from), { force: true })
  return amongBackups(folder, from, damagedWhy)
}

/** What was read of the damaged file and not taken is kept among the backups where it has something newer. */
async function keepSalvage(
  folder: string,
  from: RepairWay['from'],
  { salvaged, plan }: Inspected,
): Promise<string | null> {
  if (from !== 'backup' || salvaged === null || plan.choice === null) return null
  return amongBackups(folder, salvaged, 'salvaged')
}

async function openIt({ current, appFiles }: Context, folder: string, from: RepairWay['from']): Promise<void> {
  await current.open(folder, undefined, from === 'itself')
  const rack = current.get()
  if (rack) {
    const label = {
      itself: 'repaired',
      backup: 'repaired from a backup',
      salvage: 'repaired from what could be read',
      photos: 'begun anew with the photos that were there',
    }
    await noteEvent(rack.db, { kind: 'repaired', label: label[from], who: appFiles.settings().painter })
  }
}

/** Photos that the records do not know come into the tray, under the names that the damaged file had for them. */
async function lookAround(
  { current, emit }: Context,
  job: JobHandle,
  { salvaged, plan }: Inspected,
  way: RepairWay,
): Promise<TakenUnknown> {
  const rack = current.get()
  if (!rack || way.from === 'itself') return { taken: 0, left: 0, unreadable: 0 }
  const read =
    salvaged && (await stat(salvaged).catch(() => null)) ? namesIn(salvaged) : new Map<string, OriginalNamed>()
  const named = new Map<string, Named>()
  for (const [sha256, extension] of await listOriginals(plan.folder))
    named.set(
      sha256,
      read.get(sha256) ?? {
        sha256,
        name: `${sha256.slice(0, 8)}.${extension}`,
        addedAt: new Date().toISOString(),
        inTrash: false,
      },
    )
  const photos = await takeUnknown(rack, {
    named,
    signal: job.signal,
    onProgress: (done, total) => job.progress('Photos that the records do not know', done, total),
  })
  const { revision } = await rack.db.selectFrom('rack_info').select('revision').executeTakeFirstOrThrow()
  emit({ name: 'rack.changed', data: { revision } })
  return photos
}

const noSuchWay = () =>
  new Refusal(
    'check/no-such-way',
    'The rack cannot be repaired in this way.',
    'Look at the rack again: what was found may have changed.',
  )
