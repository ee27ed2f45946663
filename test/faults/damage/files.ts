import { chmodSync, cpSync, existsSync, readFileSync, rmSync, statSync, truncateSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Backup } from '../../../shared-core/records/backup.ts'
import type { CheckReport } from '../../../shared-core/records/check.ts'
import type { Photo } from '../../../shared-core/records/photo.ts'
import type { Random } from '../fuzz/random.ts'
import { filesBelow, hashOf } from '../kit/inspect.ts'
import { begin, ended, openIn, placeIn } from '../kit/shop-service.ts'
import type { ServiceProcess } from '../service-process.ts'
import type { Template } from './template.ts'

export type FilesHarmed = { originals: number; backups: number; settings: number; broken: string[] }

/**
 * Files beside the database: originals, a backup, settings. The service begins all the same, the check names every original that
 * is not as it was and no other, originals are found again by what they are, a damaged backup is told as such.
 */
export async function harmFiles(
  template: Template,
  sources: string,
  scratch: string,
  random: Random,
): Promise<FilesHarmed> {
  const place = placeIn(scratch)
  cpSync(template.folder, place.rack, { recursive: true, preserveTimestamps: true })
  const broken: string[] = []
  const harmed = harmOriginals(place.rack, random)
  const backup = template.backups[0]?.file ?? ''
  flip(join(place.rack, 'backups', backup), random)
  for (const name of ['settings.json', 'recent-racks.json']) writeFileSync(join(place.home, name), random.bytes(300))

  const service = begin(place)
  try {
    const info = await openIn(service, place)
    for (const { code } of info.cautions) broken.push(`opened with a caution: ${code}`)
    for (const name of ['settings.json', 'recent-racks.json'])
      if (!existsSync(join(place.home, `${name}.damaged`))) broken.push(`${name} is not kept beside`)
    const { photos } = (await service.call('photos.listTray', {})) as { photos: Photo[] }
    const told = await toldOf(service)
    for (const { id, sha256, name } of photos) {
      if (harmed.has(sha256) && !told.has(id)) broken.push(`${name} (${harmed.get(sha256)}) is not told of`)
      if (!harmed.has(sha256) && told.has(id)) broken.push(`${name} is told of and whole`)
    }
    const { backups } = (await service.call('backups.list', { folder: place.rack, thorough: true })) as {
      backups: Backup[]
    }
    for (const { file, state } of backups)
      if (state !== (file === backup ? 'damaged' : 'whole')) broken.push(`the backup ${file} is said to be ${state}`)

    if (harmed.size > 0) {
      const { jobId } = (await service.call('check.relink', { paths: [sources] })) as { jobId: string }
      const job = await ended(service, jobId)
      if (job.state !== 'done') broken.push(`relinking: ${job.error?.message}`)
    }
    for (const { sha256, name } of photos) {
      const path = join(place.rack, 'photos', sha256.slice(0, 2), `${sha256}.jpg`)
      if (!existsSync(path) || hashOf(path) !== sha256) broken.push(`${name} was not found again`)
    }
    const still = await toldOf(service)
    if (still.size > 0) broken.push(`${still.size} photos are told of after they were found again`)
  } finally {
    await service.leave()
  }
  return { originals: harmed.size, backups: 1, settings: 2, broken }
}

/** @returns what was done, by the hash that the original had */
function harmOriginals(rack: string, random: Random): Map<string, string> {
  const harmed = new Map<string, string>()
  const names = filesBelow(join(rack, 'photos'))
  for (const name of names) {
    const path = join(rack, 'photos', name)
    const sha256 = name.slice(-68, -4)
    chmodSync(path, 0o644)
    const kind = random.pick(['none', 'none', 'bit', 'cut', 'gone', 'another'] as const)
    if (kind === 'none') continue
    harmed.set(sha256, kind)
    if (kind === 'bit') flip(path, random)
    if (kind === 'cut') truncateSync(path, random.int(statSync(path).size))
    if (kind === 'gone') rmSync(path)
    if (kind === 'another') writeFileSync(path, Buffer.concat([readFileSync(path), Buffer.from('x')]))
  }
  return harmed
}

function flip(path: string, random: Random): void {
  const bytes = readFileSync(path)
  const at = random.int(bytes.length)
  bytes[at] = (bytes[at] ?? 0) ^ (1 << random.int(8))
  writeFileSync(path, bytes)
}

/** Photos that a whole check finds lost or harmed. */
async function toldOf(service: ServiceProcess): Promise<Set<string>> {
  const { jobId } = (await service.call('check.start', {})) as { jobId: string }
  const job = await ended(service, jobId)
  if (job.state !== 'done') throw new Error(`The check came to nothing: ${job.state} ${job.error?.message ?? ''}`)
  const { report } = (await service.call('check.report', {})) as { report: CheckReport }
  const wrong = report.findings.filter(({ weight }) => weight === 'lost' || weight === 'harm')
  return new Set(wrong.flatMap(({ items }) => items.flatMap(({ photoId }) => photoId ?? [])))
}
