import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { noFilter } from '../../../shared-core/records/panel.ts'
import { randomOf } from '../fuzz/random.ts'
import { clock, type Experiment, type Findings, type Options, pause, wordsOf } from '../kit/experiment.ts'
import { inCopy, unsoundness, wrongOriginals } from '../kit/inspect.ts'
import { type PhotoFile, photoSupply } from '../kit/many-photos.ts'
import { difference, panelsIn, Shop } from '../kit/shop.ts'
import { begin, ended, openIn, placeIn, settled, waitingIn } from '../kit/shop-service.ts'
import type { ServiceProcess } from '../service-process.ts'
import { measure, type Sample, slope } from './measure.ts'

export const soak: Experiment = {
  name: 'soak',
  what: 'a shop’s days one after the other: edits, intake, undo, searches, pictures, backups, opening; memory and handles stay flat',
  count: 1_000_000,
  minutes: 6,
  run: soaking,
}

/** A busy shop changes so much in a day; a guess, for saying how many days were lived. */
const changesOfADay = 250
const mostPanels = 60
/** Fewer samples say nothing: a service that has just begun still fills its caches. */
const fewest = 20
/**
 * A service at rest stands before or after a collection of garbage, some 30 MB apart, and a slope is mostly that. What leaks
 * rises above anything before: the mean of the last quarter against the most of the first half.
 */
const allowedMb = 15
const allowedSlopeMb = 40
/** SQLite keeps so much of a database in memory (`cache_size`); a history that grows fills it, and then it is full. */
const cacheMb = 33.6
const allowedHandles = 3
const allowedLogMb = 12

async function soaking(options: Options): Promise<Findings> {
  const { seed, count, say, minutes } = options
  const random = randomOf(seed, 'soak')
  const isOver = clock(options)
  const folder = mkdtempSync(join(tmpdir(), 'overground-soak-'))
  const place = placeIn(folder)
  const supply = await photoSupply(join(folder, 'photos'))
  const shop = new Shop(random)
  const done = { changes: 0, photos: 0, searches: 0, pictures: 0, backups: 0, openings: 0 }
  const samples: Sample[] = []
  const broken: string[] = []
  const service = begin(place)
  const began = performance.now()
  try {
    await service.call('rack.create', { folder: place.rack, name: 'Soaked' })
    let nextSample = 0
    for (let i = 0; i < count && !isOver(); i++) {
      for (let edits = 0; edits < 12; edits++) {
        await shop.perform(shop.next(mostPanels), service.call)
        done.changes++
      }
      const words = random.pick(['damson', 'gold', 'two passes', 'panel 1', 'tank'])
      await service.call('panels.order', { filter: { ...noFilter, words }, sort: 'hue', group: 'ground' })
      done.searches++
      if (i % 5 === 4) done.photos += await photosOfADay(service, shop, supply(6), done)
      if (i % 25 === 24) {
        const { jobId } = (await service.call('backups.make', {})) as { jobId: string }
        const job = await ended(service, jobId)
        if (job.state !== 'done') broken.push(`a backup: ${job.error?.message}`)
        done.backups++
      }
      if (i % 40 === 39) {
        await service.call('rack.close', {})
        await openIn(service, place)
        done.openings++
      }
      if (performance.now() - began > nextSample) {
        nextSample += (minutes * 60_000) / 60
        await settled(service)
        await pause(250)
        const sample = measure(service.child.pid ?? 0, place, done.changes)
        if (sample) samples.push(sample)
      }
    }
    const wrong = difference(shop.panels, await panelsIn(service.call))
    if (wrong !== null) broken.push(wrong)
    if ((await service.leave()) !== 0) broken.push('the service did not leave as it should')
    broken.push(...inCopy(place.rack, unsoundness), ...wrongOriginals(place.rack))
  } catch (error) {
    broken.push(`after ${done.changes} changes: ${wordsOf(error)}; ${service.complaints().slice(-500)}`)
  } finally {
    await service.kill()
    rmSync(folder, { recursive: true, force: true, maxRetries: 3 })
  }
  say(`${samples.length} samples`)
  return {
    ...judged(samples, done, broken),
    series: samples,
    ...(samples.length === 0 && { notShown: 'memory and handles: no /proc here' }),
  }
}

/** Photos come in, are looked at, and most of them are thrown away again. */
async function photosOfADay(
  service: ServiceProcess,
  shop: Shop,
  files: readonly PhotoFile[],
  done: { pictures: number },
): Promise<number> {
  await service.call('photos.takeIn', { files: files.map(({ path, name }) => ({ path, name })) })
  await settled(service)
  for (const { sha256 } of files.slice(0, 3)) {
    await service.call('pictures.locate', { key: `photo/${sha256}/full` })
    done.pictures++
  }
  const waiting = [...(await waitingIn(service))]
  for (const photoId of waiting.slice(0, Math.max(0, waiting.length - 12)))
    await service.call('photos.discard', { photoId })
  // what is undone next would be the photos
  shop.forgetHistory()
  for (const { path } of files) rmSync(path, { force: true })
  return files.length
}

const ownMb = ({ rssMb, databaseMb }: Sample): number => rssMb - Math.min(databaseMb, cacheMb)

function judged(samples: readonly Sample[], done: Record<string, number>, broken: string[]): Findings {
  const half = samples.slice(Math.floor(samples.length / 2))
  const [first, last] = [half[0], half.at(-1)]
  const changes = done['changes'] ?? 0
  const figures: Findings['figures'] = {
    lived: `${(changes / changesOfADay).toFixed(1)} days of ${changesOfADay} changes`,
    ...done,
  }
  if (!first || !last) return { figures, broken }
  const over = last.changes - first.changes
  const grown = (pick: (sample: Sample) => number) =>
    slope(half.map((sample) => [sample.changes, pick(sample)] as const)) * over
  const [mbGrown, handles, threads] = [grown(ownMb), grown((s) => s.handles), grown((s) => s.threads)]
  const quarter = samples.slice(Math.floor(samples.length * 0.75)).map(ownMb)
  const firstHalf = samples.slice(0, Math.ceil(samples.length / 2)).map(ownMb)
  const risen = quarter.reduce((sum, mb) => sum + mb, 0) / quarter.length - Math.max(...firstHalf)
  const most = (pick: (sample: Sample) => number) => Math.max(...samples.map(pick))
  Object.assign(figures, {
    'memory at rest': `${first.rssMb.toFixed(0)} to ${last.rssMb.toFixed(0)} MB over the second half, most ${most((s) => s.rssMb).toFixed(0)} MB`,
    'memory without pages of the database, slope by least squares': `${mbGrown.toFixed(1)} MB over ${over} changes (allowed ${allowedSlopeMb})`,
    'the same, mean of the last quarter against the most of the first half': `${risen.toFixed(1)} MB (allowed ${allowedMb})`,
    handles: `${first.handles} to ${last.handles}, slope ${handles.toFixed(1)} (allowed ${allowedHandles})`,
    threads: `${first.threads} to ${last.threads}`,
    'log of the database': `at most ${most((s) => s.logMb).toFixed(1)} MB (allowed ${allowedLogMb})`,
    database: `${samples[0]?.databaseMb.toFixed(1)} to ${last.databaseMb.toFixed(1)} MB, ${((1000 * (last.databaseMb - first.databaseMb)) / Math.max(1, over)).toFixed(1)} kB for each change kept in the history`,
    'files half done': most((s) => s.halfDone),
    'files of backups': last.backups,
    'files of the application': last.appFiles,
  })
  if (samples.length < fewest) return { figures, broken }
  if (risen > allowedMb || mbGrown > allowedSlopeMb)
    broken.push(
      `memory grows: ${mbGrown.toFixed(1)} MB over ${over} changes, ${risen.toFixed(1)} MB above the first half`,
    )
  if (handles > allowedHandles) broken.push(`handles grow: ${handles.toFixed(1)} over ${over} changes`)
  if (threads > allowedHandles) broken.push(`threads grow: ${threads.toFixed(1)} over ${over} changes`)
  if (most((s) => s.logMb) > allowedLogMb) broken.push(`the log grows to ${most((s) => s.logMb).toFixed(1)} MB`)
  if (most((s) => s.halfDone) > 0) broken.push(`${most((s) => s.halfDone)} files half done at rest`)
  if (last.appFiles > 40) broken.push(`${last.appFiles} files in the application’s folder`)
  return { figures, broken }
}
