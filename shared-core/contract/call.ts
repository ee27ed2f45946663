import type { z } from 'zod'

/** A query reads, a command changes (and can be undone), a job runs on and reports. */
export type CallKind = 'query' | 'command' | 'job'

export type CallShape = {
  readonly kind: CallKind
  readonly input: z.ZodType
  readonly output: z.ZodType
  readonly errors: readonly string[]
}

type Declared<I extends z.ZodType, O extends z.ZodType, E extends string> = {
  input: I
  output: O
  errors: readonly E[]
}

const declare =
  <K extends CallKind>(kind: K) =>
  <I extends z.ZodType, O extends z.ZodType, const E extends string = never>(call: Declared<I, O, E>) => ({
    kind,
    ...call,
  })

export const query = declare('query')
export const command = declare('command')
export const job = declare('job')
