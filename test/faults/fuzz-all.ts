import { fuzzInWords, fuzzTargets, runFuzz } from './fuzz/run-fuzz.ts'
import { clock, type Experiment, type Findings, type Options } from './kit/experiment.ts'

export const fuzz: Experiment = {
  name: 'fuzz',
  what: 'hostile pictures, profiles, texts, archives and calls, each handed to a real service',
  count: 20_000,
  minutes: 240,
  run: fuzzing,
}

async function fuzzing(options: Options): Promise<Findings> {
  const { seed, count, say } = options
  const isOver = clock(options)
  const figures: Record<string, string> = {}
  const broken: string[] = []
  for (const target of fuzzTargets) {
    if (isOver()) break
    const found = await runFuzz({
      target,
      count,
      seed,
      onProgress: (done) => {
        if (done % 1000 === 0) say(`${target.name}: ${done} of ${count}`)
      },
    })
    figures[target.name] = fuzzInWords(found)
    for (const { number, what, said } of found.harms)
      broken.push(`${target.name}, input ${number} of seed ${seed}: ${what}: ${said.slice(0, 300)}`)
    const { memory } = found
    if (memory && memory.mostMb > memory.allowedMb)
      broken.push(`${target.name}: ${memory.mostMb.toFixed(0)} MB of ${memory.allowedMb} allowed`)
  }
  return { figures, broken }
}
