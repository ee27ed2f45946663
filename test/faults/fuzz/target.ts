import type { Random } from './random.ts'

/** What became of a hostile input: an answer either way, in a bearable time, by a process that still lives. */
export type Fate = 'taken' | 'refused'

/** A real service process with a rack of its own, restarted when an input has ended it. */
export type Service = {
  /** An answer, or the refusal. @throws Bug when the answer is `unexpected`, Gone when the process ended */
  call(name: string, input: unknown): Promise<Answered>
  /** Waits for a job to end. */
  ended(jobId: string): Promise<EndedJob>
  /** A file with these bytes, in a folder that is the service's to read; gone after this input. */
  file(name: string, bytes: Uint8Array | string): string
  /** The folder of all that this run writes, and the rack in it. */
  readonly folder: string
  readonly rack: string
}
export type Answered = { ok: true; value: unknown } | { ok: false; code: string; message: string }
export type EndedJob = {
  state: string
  outcome: string | null
  items: { name: string; fate: string; code: string | null; photoId: string | null }[]
}

/** A kind of input that may come from a stranger. */
export type FuzzTarget<Input = unknown> = {
  name: string
  /** Files to begin with, made once. */
  prepare?(): Promise<void>
  /** Input number `i` of a run: the same `random` makes the same input. */
  make(random: Random, i: number): Input | Promise<Input>
  /** Hands it to the application in the way in which it would come. */
  run(input: Input, service: Service, i: number): Promise<Fate>
  /** What is kept of an input that did harm, so that it can be played again. */
  keep?(input: Input): Uint8Array | string
  /** Resident memory of the service that this target may take, in megabytes. */
  mostMb: number
}

/** An answer that the contract does not foresee: a fault of ours, though nobody's window is gone. */
export class Bug extends Error {}
/** The process ended, or was ended because it did not answer. */
export class Gone extends Error {
  readonly how: 'died' | 'hung'
  constructor(how: 'died' | 'hung', text: string) {
    super(text)
    this.how = how
  }
}
