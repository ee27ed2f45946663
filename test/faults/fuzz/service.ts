import { type ChildProcess, fork } from 'node:child_process'
import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { serviceArguments, serviceEnvironment } from '../../../electron/service/link/node-child.ts'
import type { FromService } from '../../../shared-core/contract/calls.ts'
import type { Job } from '../../../shared-core/records/job.ts'
import { type Answered, Bug, type EndedJob, Gone, type Service } from './target.ts'

const entry = fileURLToPath(new URL('../../../electron/service/main.ts', import.meta.url))

/** A service as its hosts start it, under a watch: it is ended when it does not answer in time. */
export type WatchedService = Service & {
  /** From here on so much work, or ten times as much waiting, is borne until all has been answered. */
  begin(ms?: number): void
  /** Milliseconds of processor time since then; 0 where the system does not tell. */
  worked(): number
  /** Takes away the files of this input. */
  clear(): void
  /** Whether it still lives. */
  lives(): boolean
  /** Megabytes resident now; null where the system does not tell. */
  residentMb(): number | null
  /** The last that it wrote to its error stream. */
  said(): string
  leave(): Promise<void>
}

export async function startWatched(folder: string, limitMs: number): Promise<WatchedService> {
  const [home, desk] = [join(folder, 'home'), join(folder, 'desk')]
  mkdirSync(home, { recursive: true })
  mkdirSync(desk, { recursive: true })
  const child = fork(entry, [], {
    execArgv: [...serviceArguments],
    env: { ...serviceEnvironment(), OVERGROUND_HOME: home },
    cwd: desk,
    serialization: 'advanced',
    stdio: ['ignore', 'ignore', 'pipe', 'ipc'],
  })
  let said = ''
  child.stderr?.on('data', (piece: Buffer) => {
    said = (said + piece.toString('utf8')).slice(-8000)
  })
  const answers = new Map<number, (answer: Answered) => void>()
  const jobs = new Map<string, Job>()
  const atEnd = new Map<string, (job: Job) => void>()
  child.on('message', (message: FromService) => {
    if ('answer' in message) {
      const { answer } = message
      answers.get(answer.id)?.(
        answer.ok
          ? { ok: true, value: answer.value }
          : { ok: false, code: answer.error.code, message: `${answer.error.message} ${answer.error.remedy}` },
      )
      answers.delete(answer.id)
    } else if (message.event.name === 'job.progressed') {
      const { itemsBefore, ...report } = message.event.data
      const job = { ...report, items: [...(jobs.get(report.id)?.items.slice(0, itemsBefore) ?? []), ...report.items] }
      jobs.set(job.id, job)
      if (job.state !== 'running') atEnd.get(job.id)?.(job)
    }
  })
  let next = 1
  let files = 0
  let patience = limitMs
  let atBegin = { time: Date.now(), processorS: 0 }
  const over = Promise.withResolvers<never>()
  over.promise.catch(() => undefined)
  let alive = true
  const exited = new Promise<void>((resolve) => child.once('exit', () => resolve()))
  child.once('exit', (code, signal) => {
    alive = false
    over.reject(new Gone('died', `The service ended (${signal ?? code}). ${said}`))
  })
  child.on('error', () => undefined)

  /** Its own work since the input was handed over, or nothing where that is not told. */
  const worked = (): number => ((processorS(child) ?? 0) - atBegin.processorS) * 1000
  const isOverdue = (): boolean => {
    const waited = Date.now() - atBegin.time
    if (waited < patience) return false
    // on a busy machine time passes without anything being done: what counts is work, or ten times the time
    return processorS(child) === null || worked() > patience || waited > 10 * patience
  }

  /** Whatever comes first: the answer, the process's end, or the end of patience. */
  const inTime = async <T>(answer: Promise<T>): Promise<T> => {
    const late = Promise.withResolvers<never>()
    const timer = setInterval(() => {
      if (!isOverdue()) return
      late.reject(
        new Gone('hung', `No answer after ${Date.now() - atBegin.time} ms and ${worked().toFixed(0)} ms of work.`),
      )
      child.kill('SIGKILL')
    }, 100)
    try {
      return await Promise.race([answer, over.promise, late.promise])
    } finally {
      clearInterval(timer)
    }
  }
  const call: Service['call'] = async (name, input) => {
    const { promise, resolve } = Promise.withResolvers<Answered>()
    const id = next++
    answers.set(id, resolve)
    if (child.connected) child.send({ id, name, input }, () => undefined)
    const answer = await inTime(promise)
    if (!answer.ok && answer.code === 'unexpected') throw new Bug(`${name}: ${logged(answer.message)}`)
    return answer
  }
  /** What stands in the log under the reference that an answer names. */
  const logged = (message: string): string => {
    const reference = /reference (\w+)/.exec(message)?.[1] ?? message
    const at = said.lastIndexOf(reference)
    return at < 0 ? message : said.slice(at, at + 1500)
  }
  const rack = join(folder, 'rack')
  const service: WatchedService = {
    folder: desk,
    rack,
    call,
    ended: async (jobId) => {
      const present = jobs.get(jobId)
      const { promise, resolve } = Promise.withResolvers<Job>()
      if (present && present.state !== 'running') resolve(present)
      else atEnd.set(jobId, resolve)
      const job = await inTime(promise)
      atEnd.delete(jobId)
      jobs.delete(jobId)
      const unforeseen = [job.error, ...job.items.map(({ why }) => why)].find((why) => why?.code === 'unexpected')
      if (unforeseen) throw new Bug(`${job.label}: ${logged(unforeseen.message)}`)
      return told(job)
    },
    file: (name, bytes) => {
      const path = join(desk, `${files++}-${name}`)
      writeFileSync(path, bytes)
      return path
    },
    begin: (ms = limitMs) => {
      patience = ms
      atBegin = { time: Date.now(), processorS: processorS(child) ?? 0 }
    },
    worked,
    clear: () => {
      // the folder itself is where the service stands
      for (const name of readdirSync(desk)) rmSync(join(desk, name), { recursive: true, force: true })
    },
    lives: () => alive,
    residentMb: () => {
      const kb = /^VmRSS:\s+(\d+) kB/m.exec(ofProcess(child, 'status'))?.[1]
      return kb === undefined ? null : Number(kb) / 1024
    },
    said: () => said,
    leave: async () => {
      if (child.connected) child.disconnect()
      const timer = setTimeout(() => child.kill('SIGKILL'), 10_000)
      await exited
      clearTimeout(timer)
    },
  }
  return service
}

/** Seconds of processor time so far; null where the system does not tell. proc(5): utime and stime are the 14th and 15th words, in hundredths. */
function processorS(child: ChildProcess): number | null {
  const words = ofProcess(child, 'stat').split(') ')[1]?.split(' ')
  return words ? (Number(words[11]) + Number(words[12])) / 100 : null
}

const told = (job: Job): EndedJob => ({
  state: job.state,
  outcome: job.outcome ?? null,
  items: job.items.map(({ name, fate, why, photoId }) => ({ name, fate, code: why?.code ?? null, photoId })),
})

function ofProcess({ pid }: ChildProcess, what: 'status' | 'stat'): string {
  try {
    return readFileSync(`/proc/${pid}/${what}`, 'utf8')
  } catch {
    return ''
  }
}
