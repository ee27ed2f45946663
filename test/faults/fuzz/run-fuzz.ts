import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import { archives } from './archives.ts'
import { randomOf } from './random.ts'
import { keepRunning, type Running } from './running.ts'
import { Bug, type FuzzTarget, Gone } from './target.ts'
import { calls } from './targets/calls.ts'
import { exif } from './targets/exif.ts'
import { notebook } from './targets/notebook.ts'
import { pictures } from './targets/pictures.ts'
import { profiles } from './targets/profiles.ts'
import { cgats, csv, cxf } from './targets/texts.ts'

// each target has an input of its own, which only its own functions see
const listed = [pictures, profiles, exif, csv, cgats, cxf, notebook, archives, calls] as const
export const fuzzTargets = listed as unknown as readonly FuzzTarget[]

/** An input that did harm: `npm run faults -- fuzz --target NAME --seed SEED --only NUMBER` plays it again. */
export type Harm = { number: number; what: 'death' | 'hang' | 'bug'; said: string; kept: string | null }

export type FuzzFigures = {
  target: string
  count: number
  seed: number
  taken: number
  refused: number
  /** The process ended. */
  deaths: number
  /** No answer for all the work or time allowed. */
  hangs: number
  /** Answers that the contract does not foresee. */
  bugs: number
  /** From handing over to the answer, whatever else the machine was doing; and which input it was. */
  slowestMs: number
  slowestNumber: number
  /** Processor time of the service for one input, at most; 0 where the system does not tell. */
  mostWorkMs: number
  /** Largest resident memory, and means over the second and the last quarter; null where the system does not tell. */
  memory: { mostMb: number; secondMb: number; lastMb: number; allowedMb: number } | null
  seconds: number
  harms: Harm[]
}

export type FuzzRun = {
  target: FuzzTarget
  count: number
  seed: number
  /** This input alone. */
  only?: number
  /** So much work, or ten times as much waiting, and an input counts as hanging. */
  limitMs?: number
  /** A service that others use too, before and after; one of its own when left out. */
  running?: Running
  /** Where inputs that did harm are kept; nowhere when left out. */
  keepIn?: string
  onProgress?: (done: number, figures: Readonly<FuzzFigures>) => void
}

/** Inputs after which memory is looked at. */
const lookEvery = 20

/** Hands hostile inputs to a real service, one after the other, and tells what became of it. */
export async function runFuzz(run: FuzzRun): Promise<FuzzFigures> {
  const { target, count, seed, only, limitMs = 5000 } = run
  const figures: FuzzFigures = {
    target: target.name,
    count: only === undefined ? count : 1,
    seed,
    taken: 0,
    refused: 0,
    deaths: 0,
    hangs: 0,
    bugs: 0,
    slowestMs: 0,
    slowestNumber: 0,
    mostWorkMs: 0,
    memory: null,
    seconds: 0,
    harms: [],
  }
  const resident: number[] = []
  const began = performance.now()
  const running = run.running ?? keepRunning(limitMs)
  try {
    await target.prepare?.()
    const numbers = only === undefined ? Array.from({ length: count }, (_, i) => i) : [only]
    for (const [done, number] of numbers.entries()) {
      const input = await target.make(randomOf(seed, target.name, number), number)
      const service = await running.service()
      service.begin()
      const started = performance.now()
      try {
        figures[await target.run(input, service, number)]++
      } catch (error) {
        note(figures, error, number, keep(run, input, number))
        // ended, or about to be
        if (error instanceof Gone) await service.leave()
      }
      const [ms, work] = [performance.now() - started, service.worked()]
      if (ms > figures.slowestMs) Object.assign(figures, { slowestMs: ms, slowestNumber: number })
      figures.mostWorkMs = Math.max(figures.mostWorkMs, work)
      if (service.lives()) service.clear()
      if (done % lookEvery === 0) resident.push(service.residentMb() ?? Number.NaN)
      if (done % 100 === 99) run.onProgress?.(done + 1, figures)
    }
  } finally {
    if (!run.running) await running.end()
  }
  figures.memory = memoryOf(resident.filter(Number.isFinite), target.mostMb)
  figures.seconds = (performance.now() - began) / 1000
  return figures
}

function note(figures: FuzzFigures, error: unknown, number: number, kept: string | null): void {
  const said = error instanceof Error ? error.message.slice(0, 2000) : String(error)
  const what = error instanceof Gone ? (error.how === 'died' ? 'death' : 'hang') : error instanceof Bug ? 'bug' : null
  if (what === null) throw error
  figures[`${what}s`]++
  figures.harms.push({ number, what, said, kept })
}

function keep({ target, seed, keepIn }: FuzzRun, input: unknown, number: number): string | null {
  if (keepIn === undefined || !target.keep) return null
  mkdirSync(keepIn, { recursive: true })
  const path = join(keepIn, `${target.name}-${seed}-${number}`)
  writeFileSync(path, target.keep(input))
  return path
}

function memoryOf(resident: readonly number[], allowedMb: number): FuzzFigures['memory'] {
  if (resident.length === 0) return null
  const mean = (from: number, to: number) => {
    const part = resident.slice(Math.floor(resident.length * from), Math.max(1, Math.ceil(resident.length * to)))
    return part.reduce((sum, mb) => sum + mb, 0) / part.length
  }
  return { mostMb: Math.max(...resident), secondMb: mean(0.25, 0.5), lastMb: mean(0.75, 1), allowedMb }
}

/** One line for each target, as a person reads it. */
export function fuzzInWords(f: FuzzFigures): string {
  const memory = f.memory
    ? `memory ${f.memory.secondMb.toFixed(0)} → ${f.memory.lastMb.toFixed(0)} MB, at most ${f.memory.mostMb.toFixed(0)} of ${f.memory.allowedMb}`
    : 'memory not told by this system'
  return (
    `${f.target}: ${f.count} (${f.taken} taken, ${f.refused} refused), ${f.deaths} deaths, ${f.hangs} hangs, ${f.bugs} bugs; ` +
    `slowest ${f.slowestMs.toFixed(0)} ms (${f.slowestNumber}), most work ${f.mostWorkMs.toFixed(0)} ms; ${memory}; ${f.seconds.toFixed(0)} s`
  )
}

if (import.meta.main) {
  const { values } = parseArgs({
    options: {
      target: { type: 'string' },
      count: { type: 'string', default: '300' },
      seed: { type: 'string', default: '1' },
      only: { type: 'string' },
      keep: { type: 'string' },
    },
  })
  const wanted = fuzzTargets.filter(({ name }) => !values.target || values.target.split(',').includes(name))
  for (const target of wanted) {
    const figures = await runFuzz({
      target,
      count: Number(values.count),
      seed: Number(values.seed),
      ...(values.only === undefined ? {} : { only: Number(values.only) }),
      ...(values.keep === undefined ? {} : { keepIn: values.keep }),
      onProgress: (done, so) => void (done % 5000 === 0 && console.log(`  ${done} ${fuzzInWords(so)}`)),
    })
    console.log(fuzzInWords(figures))
    // one of each kind, with how many there were
    const kinds = Map.groupBy(
      figures.harms,
      ({ what, said }) => `${what} ${said.replaceAll(/[0-9a-f]{8}|\d+/g, 'N').slice(0, 120)}`,
    )
    for (const [first, ...rest] of kinds.values())
      if (first)
        console.log(
          `  ${first.what} ${first.number}${rest.length > 0 ? ` and ${rest.length} more` : ''}: ${first.said.slice(0, 900)}`,
        )
  }
}
