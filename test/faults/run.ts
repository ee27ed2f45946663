import { writeFileSync } from 'node:fs'
import { cpus } from 'node:os'
import { parseArgs } from 'node:util'
import { experiments } from './experiments.ts'
import type { Findings } from './kit/experiment.ts'

/** `npm run faults [-- NAME … --count N --seed S --minutes M OUT.json]` */
const { values, positionals } = parseArgs({
  options: { count: { type: 'string' }, seed: { type: 'string' }, minutes: { type: 'string' } },
  allowPositionals: true,
})
const names = positionals.filter((word) => !word.endsWith('.json'))
const out = positionals.find((word) => word.endsWith('.json'))
const seed = Number(values.seed ?? Date.now() % 1_000_000)
const unknown = names.filter((name) => !experiments.some((each) => each.name === name))

if (unknown.length > 0 || !Number.isFinite(seed)) {
  console.error('usage: npm run faults [-- NAME … --count N --seed S --minutes M OUT.json]')
  for (const { name, what, count } of experiments) console.error(`  ${name} (${count}): ${what}`)
  process.exitCode = 2
} else {
  const chosen = experiments.filter(({ name }) => names.length === 0 || names.includes(name))
  const results: Record<string, Findings & { seconds: number }> = {}
  console.log(`seed ${seed}, ${cpus().length} cores, Node ${process.version}`)
  for (const experiment of chosen) {
    console.log(`\n${experiment.name}: ${experiment.what}`)
    const from = performance.now()
    const found = await experiment.run({
      seed,
      count: Number(values.count ?? experiment.count),
      minutes: Number(values.minutes ?? experiment.minutes),
      say: (words) => console.log(`  … ${words}`),
    })
    const seconds = (performance.now() - from) / 1000
    results[experiment.name] = { ...found, seconds }
    for (const [name, figure] of Object.entries(found.figures)) console.log(`  ${name}: ${figure}`)
    if (found.notShown !== undefined) console.log(`  not shown here: ${found.notShown}`)
    for (const words of found.broken.slice(0, 20)) console.log(`  BROKEN ${words}`)
    console.log(`  ${seconds.toFixed(0)} s`)
    if (found.broken.length > 0) process.exitCode = 1
  }
  if (out !== undefined) writeFileSync(out, `${JSON.stringify({ seed, results }, null, 2)}\n`)
}
