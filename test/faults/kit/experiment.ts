/** One row of figures of `npm run faults`. */
export type Options = {
  seed: number
  /** How many cases; each experiment has its own usual number. */
  count: number
  /** Ends early after this long, and says with how many cases. */
  minutes: number
  /** Told now and then how far it is. */
  say: (words: string) => void
}

export type Findings = {
  /** What was counted and measured, as it is printed. */
  figures: Record<string, number | string>
  /** Promises that were broken, each in words that say how to meet it again; empty when all were kept. */
  broken: string[]
  /** What was measured one after the other, for whoever draws it. */
  series?: readonly object[]
  /** What this machine cannot show. */
  notShown?: string
}

export type Experiment = {
  name: string
  /** What is done to the application, and what is promised. */
  what: string
  count: number
  minutes: number
  run: (options: Options) => Promise<Findings>
}

/** Whether the time of an experiment is over. */
export function clock({ minutes }: Options): () => boolean {
  const end = performance.now() + minutes * 60_000
  return () => performance.now() > end
}

/** A few words about what was thrown. */
export function wordsOf(error: unknown): string {
  const { code, message } = error as { code?: string; message?: string }
  return [code, message ?? String(error)].filter(Boolean).join(': ').slice(0, 600)
}

export const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms))
