import { cpSync, existsSync, mkdirSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import type { BackupState } from '../../shared-core/records/backup.ts'
import { type Random, randomOf } from './fuzz/random.ts'
import { allRows, differences, filesBelow, hashOf, inCopy, type Rows } from './kit/inspect.ts'
import { Shop } from './kit/shop.ts'
import { ended, placeIn, settled } from './kit/shop-service.ts'
import { type ServiceProcess, startService } from './service-process.ts'

/** What a drill came to. */
export type Drill = {
  /** What befell the rack. */
  disaster: string
  photos: number
  tables: number
  rows: number
  /** What is not as it was when the backup was made; empty when all of it is. */
  different: string[]
}

/** Disasters that end in going back to a backup in place, or in a new folder from the second place. */
export const disasters = [
  'records gone',
  'records cut',
  'records overwritten here and there',
  'log lost after going on',
  'went on and wants to go back',
  'whole folder gone',
] as const
export type Disaster = (typeof disasters)[number]

/**
 * Works on a copy of a rack, backs it up as a painter does, lets something happen to it, brings it back through the same calls as
 * the screens use, and compares with what was there: every original byte by byte, every row of every table.
 * @param rackFolder  of a rack that nobody has open; it stays as it is
 * @param scratch     an empty folder of the caller's
 */
export async function restoreDrill(
  rackFolder: string,
  seed: number,
  scratch: string,
  disaster: Disaster = disasters[seed % disasters.length] ?? 'records gone',
): Promise<Drill> {
  const random = randomOf('restore drill', seed)
  const place = placeIn(scratch)
  const disk = join(scratch, 'disk')
  mkdirSync(disk)
  cpSync(rackFolder, place.rack, { recursive: true, preserveTimestamps: true })
  rmSync(join(place.rack, 'lock'), { force: true })
  let service = startService(place.home, { quiet: true })
  try {
    await service.call('rack.open', { folder: place.rack })
    await settled(service)
    await service.call('secondPlace.choose', { folder: disk })
    await settled(service)
    const { jobId } = (await service.call('backups.make', {})) as { jobId: string }
    const made = await ended(service, jobId)
    if (made.state !== 'done') throw new Error(`The backup came to nothing: ${made.error?.message}`)
    const state = (await service.call('backups.describe', {})) as BackupState
    const file = state.last?.file ?? ''
    const second = state.second?.folder ?? ''
    // what is to be there again, read by nobody but SQLite and the file system
    const before = inCopy(join(place.rack, 'backups'), allRows, file)
    const photos = hashesIn(place.rack)
    if (disaster === 'log lost after going on' || disaster === 'went on and wants to go back')
      await goOn(service, random)

    if (disaster === 'went on and wants to go back') {
      await restore(service, place.rack, file)
    } else {
      await service.kill()
      befall(place.rack, disaster, random)
      service = startService(place.home, { quiet: true })
      if (disaster === 'whole folder gone') {
        const { jobId: making } = (await service.call('backups.restoreElsewhere', {
          from: second,
          file: null,
          to: place.rack,
        })) as { jobId: string }
        await mustBeDone(service, making)
      } else await restore(service, place.rack, file)
    }
    await settled(service)
    await service.leave()
    const after = inCopy(place.rack, allRows)
    return {
      disaster,
      photos: photos.size,
      tables: Object.keys(before).length,
      rows: Object.values(before).reduce((sum, rows) => sum + rows.length, 0),
      different: [...differences(comparable(before), comparable(after)), ...photosDiffering(photos, place.rack)],
    }
  } finally {
    if (service.child.exitCode === null && service.child.signalCode === null) await service.kill()
  }
}

async function goOn(service: ServiceProcess, random: Random): Promise<void> {
  const shop = new Shop(random)
  for (let i = 0; i < 12; i++) await shop.perform(shop.add(), service.call)
}

async function restore(service: ServiceProcess, folder: string, file: string): Promise<void> {
  await service.call('backups.preview', { folder, file })
  const { jobId } = (await service.call('backups.restore', { folder, file })) as { jobId: string }
  await mustBeDone(service, jobId)
}

async function mustBeDone(service: ServiceProcess, jobId: string): Promise<void> {
  const job = await ended(service, jobId)
  if (job.state !== 'done') throw new Error(`${job.label}: ${job.state}, ${job.error?.message ?? ''}`)
}

function befall(folder: string, disaster: Disaster, random: Random): void {
  const database = join(folder, 'rack.sqlite')
  switch (disaster) {
    case 'records gone':
      for (const tail of ['', '-wal', '-shm']) rmSync(database + tail, { force: true })
      return
    case 'records cut':
      truncateSync(database, random.int(readFileSync(database).length))
      return
    case 'records overwritten here and there': {
      const bytes = readFileSync(database)
      for (let i = 0; i < 40; i++) bytes[random.int(bytes.length)] = random.int(256)
      writeFileSync(database, bytes)
      return
    }
    case 'log lost after going on':
      for (const tail of ['-wal', '-shm']) rmSync(database + tail, { force: true })
      return
    case 'whole folder gone':
      rmSync(folder, { recursive: true })
      return
    case 'went on and wants to go back':
  }
}

const hashesIn = (folder: string): Map<string, string> =>
  new Map(filesBelow(join(folder, 'photos')).map((name) => [name, hashOf(join(folder, 'photos', name))]))

function photosDiffering(before: ReadonlyMap<string, string>, folder: string): string[] {
  const wrong: string[] = []
  for (const [name, sha256] of before) {
    const path = join(folder, 'photos', name)
    if (!existsSync(path)) wrong.push(`${name} is gone`)
    else if (hashOf(path) !== sha256) wrong.push(`${name} is altered`)
  }
  return wrong
}

/**
 * The rack's count of changes goes on, and codes that were given after the backup stay given: these are meant to differ. What befell
 * the rack is noted; when a file or the wall was last looked at is no record.
 */
function comparable(rows: Rows): Rows {
  const apart = new Set(['rack_event', 'check_run', 'check_left', 'file_check', 'panel_row_due', 'panel_words_due'])
  const kept = Object.entries(rows).filter(([table]) => !apart.has(table))
  return Object.fromEntries(
    kept.map(([table, all]) => [table, table === 'rack_info' ? all.map((row) => withoutCounts(String(row))) : all]),
  )
}

function withoutCounts(row: string): string {
  const {
    revision: _,
    next_code: __,
    next_cup: ___,
    next_job: ____,
    ...rest
  } = JSON.parse(row) as Record<string, unknown>
  return JSON.stringify(rest)
}
