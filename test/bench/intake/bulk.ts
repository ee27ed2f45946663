import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { quantile } from '../../../shared-core/capture/statistics.ts'
import type { Job } from '../../../shared-core/records/job.ts'
import { startService } from '../../faults/service-process.ts'
import { manyPhotos } from './many-photos.ts'
import { manySmall } from './many-small.ts'

type File = { path: string; name: string }
const decodeAlone = fileURLToPath(new URL('./decode-alone.ts', import.meta.url))
const megabyte = 1024 ** 2
const median = (values: readonly number[]) => quantile([...values], 0.5)
const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms))
const say = (what: string, figure: string, wanted = '') =>
  console.log(`${what.padEnd(58)} ${figure.padStart(12)}  ${wanted}`)

/** Resident memory of a process, in bytes; null where the system does not tell it this way. */
function residentOf(pid: number | undefined): number | null {
  try {
    const [, kilobytes] = /^VmRSS:\s+(\d+) kB/m.exec(readFileSync(`/proc/${pid}/status`, 'utf8')) ?? []
    return kilobytes === undefined ? null : Number(kilobytes) * 1024
  } catch {
    return null
  }
}

/** A service of its own with an empty rack, as hosts start it. */
async function freshService() {
  const home = mkdtempSync(join(tmpdir(), 'intake-'))
  const service = startService(home)
  await service.call('rack.create', { folder: join(home, 'rack'), name: 'Bench' })
  return {
    ...service,
    end: async () => {
      await service.leave()
      rmSync(home, { recursive: true, force: true })
    },
  }
}
type Service = Awaited<ReturnType<typeof freshService>>

async function emptyCall(service: Service): Promise<number> {
  const start = performance.now()
  await service.call('service.describe', {})
  return performance.now() - start
}

/** Until the job has ended; looks seldom enough not to disturb. */
async function ended(service: Service, jobId: string, meanwhile?: (job: Job) => Promise<void>): Promise<Job> {
  for (;;) {
    const job = service.jobs.get(jobId)
    if (job && job.state !== 'running') return job
    if (job) await meanwhile?.(job)
    await pause(20)
  }
}

function decodeMs(files: readonly File[]): number {
  const { stdout, status } = spawnSync(process.execPath, [decodeAlone, ...files.map(({ path }) => path)])
  if (status !== 0) throw new Error('Decoding alone failed.')
  return Number(stdout.toString())
}

type Run = { ms: number; before: number; at100: number; most: number; end: number; idle: number[]; busy: number[] }

async function takeIn(files: readonly File[]): Promise<Run> {
  const service = await freshService()
  const { pid } = service.child
  const idle: number[] = []
  for (let i = 0; i < 50; i++) idle.push(await emptyCall(service))
  const before = residentOf(pid) ?? Number.NaN
  let [at100, most] = [before, before]
  const busy: number[] = []
  const start = performance.now()
  const { jobId } = (await service.call('photos.takeIn', { files })) as { jobId: string }
  let lastCall = 0
  const job = await ended(service, jobId, async ({ done }) => {
    const now = residentOf(pid) ?? Number.NaN
    most = Math.max(most, now)
    if (done <= 100) at100 = most
    if (performance.now() - lastCall < 100) return
    lastCall = performance.now()
    busy.push(await emptyCall(service))
  })
  const ms = performance.now() - start
  const taken = [...service.acknowledged.values()].filter(({ fate }) => fate === 'taken').length
  if (job.state !== 'done' || taken !== files.length) throw new Error(`Only ${taken} photos were taken in.`)
  const end = residentOf(pid) ?? Number.NaN
  await service.end()
  return { ms, before, at100, most, end, idle, busy }
}

/** How long after asking it the call comes back, and the job is over. */
async function cancelMs(files: readonly File[], repeats: number): Promise<{ answered: number[]; over: number[] }> {
  const service = await freshService()
  const [answered, over]: [number[], number[]] = [[], []]
  const each = Math.floor(files.length / repeats)
  for (let i = 0; i < repeats; i++) {
    const part = files.slice(i * each, (i + 1) * each)
    const { jobId } = (await service.call('photos.takeIn', { files: part })) as { jobId: string }
    while ((service.jobs.get(jobId)?.done ?? 0) < Math.min(5, each - 1)) await pause(5)
    const start = performance.now()
    await service.call('jobs.cancel', { jobId })
    answered.push(performance.now() - start)
    const job = await ended(service, jobId)
    over.push(performance.now() - start)
    if (job.state !== 'cancelled') throw new Error('The intake ended before it could be cancelled.')
  }
  await service.end()
  return { answered, over }
}

async function listing(count: number): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'intake-small-'))
  const service = await freshService()
  try {
    const files = await manySmall(folder, count)
    const timed = async (name: string, input: unknown): Promise<number> => {
      const times: number[] = []
      for (let i = 0; i < 5; i++) {
        const start = performance.now()
        await service.call(name, input)
        times.push(performance.now() - start)
      }
      return median(times)
    }
    const empty = await timed('service.describe', {})
    const start = performance.now()
    const { jobId } = (await service.call('photos.takeIn', { files })) as { jobId: string }
    const began = performance.now() - start
    await ended(service, jobId)
    const { ids } = (await service.call('photos.listWaiting', {})) as { ids: string[] }
    const order = await timed('photos.listWaiting', {})
    const some = await timed('photos.getMany', { photoIds: ids.slice(900, 920) })
    say(`an empty call`, `${empty.toFixed(1)} ms`)
    say(`${count} small files: photos.takeIn answers`, `${began.toFixed(1)} ms`)
    say(`tray of ${ids.length}: which photos wait (photos.listWaiting)`, `${order.toFixed(1)} ms`)
    say('tray: the 20 that are shown (photos.getMany)', `${some.toFixed(1)} ms`)
  } finally {
    await service.end()
    rmSync(folder, { recursive: true, force: true })
  }
}

/** Taking in many photos at once, in times of decoding them with sharp alone. */
export async function bulk({ count, runs, seed }: { count: number; runs: number; seed: string }): Promise<void> {
  const files = await manyPhotos(seed, count)
  console.log(`${count} JPEGs of 12 megapixels, ${runs} runs, each between two of decoding alone (two at once)`)
  const all: Run[] = []
  const ratios: number[] = []
  let before = decodeMs(files)
  for (let i = 0; i < runs; i++) {
    const run = await takeIn(files)
    const after = decodeMs(files)
    all.push(run)
    ratios.push((2 * run.ms) / (before + after))
    const [a, b] = [before / count, after / count].map((ms) => ms.toFixed(1))
    console.log(`  run ${i + 1}: ${(run.ms / count).toFixed(1)} ms a photo, decoding alone ${a} and ${b}`)
    before = after
  }
  const grown = (of: (run: Run) => number) => median(all.map((run) => (of(run) - run.before) / megabyte))
  const calls = (of: (run: Run) => number[]) => all.flatMap(of)
  const idle = median(calls((run) => run.idle))
  const busy = calls((run) => run.busy)
  say('intake against decoding alone (median)', `${median(ratios).toFixed(2)} ×`, 'wanted: at most 1.6')
  say('  spread of the runs', `${Math.min(...ratios).toFixed(2)}–${Math.max(...ratios).toFixed(2)} ×`)
  say('resident memory grows, at most', `${grown((run) => run.most).toFixed(0)} MB`, 'wanted: at most 150')
  say('  after 100 photos', `${grown((run) => run.at100).toFixed(0)} MB`)
  say('  after all', `${grown((run) => run.end).toFixed(0)} MB`)
  say('an empty call meanwhile, median', `${(median(busy) / idle).toFixed(1)} × idle`, `idle ${idle.toFixed(2)} ms`)
  say('  95 of 100 below', `${quantile(busy, 0.95).toFixed(1)} ms`)
  say('  longest', `${Math.max(...busy).toFixed(1)} ms`)
  const { answered, over } = await cancelMs(files, 5)
  say('cancel answers within', `${Math.max(...answered).toFixed(0)} ms`, 'wanted: at most 1000')
  say('  and the intake is over after, at most', `${Math.max(...over).toFixed(0)} ms`)
  await listing(2000)
}
