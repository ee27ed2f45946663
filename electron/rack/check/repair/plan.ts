import { mkdir, readFile, rm, stat, writeFile } from 'node:fs/promises'
import { basename, join } from 'node:path'
import type { Backup } from '../../../../shared-core/records/backup.ts'
import { RepairPlan, type RepairWay } from '../../../../shared-core/records/check.ts'
import { backupsOf } from '../../backups/facts.ts'
import { listBackups } from '../../backups/list.ts'
import { copyOwn } from '../../disk/copy-own.ts'
import { migrations } from '../../migrations/list.ts'
import { examineSeal } from '../../opening/health.ts'
import { takeLock } from '../../opening/lock.ts'
import { type CheckWorker, withCheckWorker } from '../worker/ask-worker.ts'
import { choose, doubtsOf } from './choose.ts'
import type { Holding, RepairFindings, SalvageFacts } from './facts.ts'

/** What a look at a rack that cannot be opened found, with the files that each way is made of. */
export type Inspected = {
  plan: RepairPlan
  /** The database as it is can be opened, and is not to be replaced. */
  itselfAsItIs: boolean
  /** Indexes were made anew in a copy, which takes the database's place. */
  mended: string | null
  salvaged: string | null
  backup: Backup | null
}

export type Seen = {
  folder: string
  now: string
  /** The drive has altered the database since it was closed. */
  altered: boolean
  damage: string
  itself: RepairFindings | null
  /** It had to be put right in a copy. */
  mended: boolean
  backup: { backup: Backup; holding: Holding } | null
  salvage: SalvageFacts | null
}

const databaseOf = (folder: string): string => join(folder, 'rack.sqlite')
/** Beside the backups, where there is room for a database. Its name hides it from their list. */
export const scratchOf = (folder: string): string => join(backupsOf(folder), '.repair')
const planOf = (folder: string): string => join(scratchOf(folder), 'plan.json')

const isThere = (path: string): Promise<boolean> =>
  stat(path).then(
    () => true,
    () => false,
  )

/**
 * Looks at a rack that cannot be opened, and at every way to get its records back: the database itself, its log replayed in
 * a copy; the newest good backup; what can be read of the damaged database, row by row. Nothing of the rack is altered:
 * what is made lies in a folder of its own among the backups.
 * @throws Refusal `rack/locked`; system errors where nothing can be written; the signal's reason
 */
export async function inspectRack(
  folder: string,
  { signal, onStage }: { signal: AbortSignal; onStage?: (stage: string) => void },
): Promise<Inspected> {
  const lock = await takeLock(folder)
  try {
    const scratch = scratchOf(folder)
    await rm(scratch, { recursive: true, force: true })
    await mkdir(scratch, { recursive: true })
    return await withCheckWorker(signal, (worker) => look(folder, worker, onStage ?? (() => undefined)))
  } finally {
    await lock.release()
  }
}

async function look(folder: string, worker: CheckWorker, onStage: (stage: string) => void): Promise<Inspected> {
  const scratch = scratchOf(folder)
  const database = databaseOf(folder)
  const exists = await isThere(database)
  const seal = exists ? await examineSeal(folder) : null
  const altered = seal?.state === 'altered'

  onStage('Looking at the records as they are')
  const copy = join(scratch, 'itself.sqlite')
  let itself: RepairFindings | null = null
  let first: RepairFindings | null = null
  let mended = false
  if (exists) {
    await copyWithLog(database, copy)
    first = await worker.ask({ what: 'judge', database: copy, mend: false })
    itself = first
    if (first.integrity.length + first.loose.length > 0) {
      await copyWithLog(database, copy)
      const again = await worker.ask({ what: 'judge', database: copy, mend: true })
      mended = again.opens && again.integrity.length + again.loose.length === 0
      if (mended) itself = again
    }
  }
  const opens = itself?.opens === true && itself.integrity.length === 0 && itself.loose.length === 0
  const isFine = opens && itself !== null && doubtsOf(itself, altered).length === 0

  onStage('Looking through the backups')
  const backup = isFine ? null : await newestGood(folder, worker)
  onStage('Reading what can be read, record by record')
  const salvaged = join(scratch, 'salvaged.sqlite')
  const salvage = isFine
    ? null
    : await worker.ask({
        what: 'salvage',
        database: exists ? database : join(scratch, 'none.sqlite'),
        to: salvaged,
        name: basename(folder),
      })
  const plan = choose({
    folder,
    now: new Date().toISOString(),
    altered,
    damage: damageInWords(exists, altered, first),
    itself: opens ? itself : null,
    mended,
    backup,
    salvage,
  })
  const inspected: Inspected = {
    plan,
    itselfAsItIs: opens && !mended,
    mended: opens && mended ? copy : null,
    salvaged: salvage ? salvaged : null,
    backup: backup?.backup ?? null,
  }
  await writeFile(planOf(folder), JSON.stringify({ ...inspected, print: await printOf(folder) }))
  return inspected
}

async function copyWithLog(from: string, to: string): Promise<void> {
  for (const tail of ['', '-wal', '-shm', '-journal']) await rm(to + tail, { force: true })
  for (const tail of ['', '-wal', '-journal']) if (await isThere(from + tail)) await copyOwn(from + tail, to + tail)
}

async function newestGood(folder: string, worker: CheckWorker): Promise<Seen['backup']> {
  for (const backup of await listBackups(folder, 'thorough')) {
    if (backup.state === 'damaged' || (backup.facts?.version ?? 0) > migrations.length) continue
    const copy = join(scratchOf(folder), 'backup.sqlite')
    // looked at in a copy: to open one leaves files beside it
    await copyWithLog(join(backupsOf(folder), backup.file), copy)
    const findings = await worker.ask({ what: 'judge', database: copy, mend: false })
    await rm(copy, { force: true })
    if (findings.opens && findings.integrity.length === 0 && findings.holding)
      return { backup, holding: findings.holding }
  }
  return null
}

function damageInWords(exists: boolean, altered: boolean, itself: RepairFindings | null): string {
  if (!exists) return 'The file that holds the records, rack.sqlite, is not there.'
  if (!itself?.opens) return 'The file that holds the records cannot be read as a database.'
  if (altered) return 'The file that holds the records is not as Overground wrote it: its drive has altered it.'
  if (itself.integrity.length > 0) return 'Part of the records cannot be read as they were written.'
  if (itself.loose.length > 0) return 'Records name others that are not there.'
  return 'The records can be read from end to end.'
}

/** By which a plan is known to be still of the database that lies there. */
async function printOf(folder: string): Promise<string> {
  const parts: string[] = []
  for (const tail of ['', '-wal']) {
    const found = await stat(databaseOf(folder) + tail).catch(() => null)
    parts.push(found ? `${found.size} ${found.mtimeMs}` : 'none')
  }
  return parts.join(', ')
}

/** What was found earlier, while the database is the same; `isOpen`: it is open by now, and is looked at again. */
export async function keptInspection(folder: string, isOpen = false): Promise<Inspected | null> {
  try {
    const kept = JSON.parse(await readFile(planOf(folder), 'utf8')) as Inspected & { print: string }
    if (!isOpen && kept.print !== (await printOf(folder))) return null
    return { ...kept, plan: RepairPlan.parse(kept.plan) }
  } catch {
    return null
  }
}

export const wayOf = (plan: RepairPlan, from: RepairWay['from'] | null): RepairWay | null =>
  plan.ways.find((way) => way.from === (from ?? plan.best)) ?? null
