import { quantile } from '../../shared-core/capture/statistics.ts'
import { stuff } from '../worlds/spectra.ts'
import { figuresOf, lineOf } from './scenes/figures.ts'
import { type GroupName, groupNames, groups } from './worlds/groups.ts'
import type { Measured } from './worlds/measure.ts'
import { onWorkers } from './worlds/pool.ts'
import type { Met } from './worlds/suggest.ts'
import { reportBig } from './worlds/timing.ts'

const others = ['suggest', 'big'] as const
type Other = (typeof others)[number]
const usage = `usage: bench -- worlds [--seed NAME] [--only ${[...groupNames, ...others].join('|')}]…`

function wantedOf(args: readonly string[]): { seed: string; only: ReadonlySet<GroupName | Other> } {
  let seed = 'worlds'
  const only = new Set<GroupName | Other>()
  for (let i = 0; i < args.length; i += 2) {
    const [flag, value] = [args[i], args[i + 1]]
    const name = [...groupNames, ...others].find((one) => one === value)
    if (flag === '--seed' && value !== undefined) seed = value
    else if (flag === '--only' && name !== undefined) only.add(name)
    else throw new Error(usage)
  }
  return { seed, only: only.size > 0 ? only : new Set([...groupNames, ...others]) }
}

/**
 * `worlds [--seed NAME] [--only NAME]…`: racks of shops whose paints are known as spectra, with optics that follow light
 * by angle; nothing of them is known to the model. Every recipe that is asked was never sprayed.
 */
export async function run(args: string[]): Promise<void> {
  const { seed, only } = wantedOf(args)
  console.log(`worlds "${seed}", absorbers: ${stuff().from}`)
  for (const group of groupNames.filter((name) => only.has(name))) {
    const jobs = racksOf(seed, group, groups[group].racks)
    report(group, await onWorkers('predict', jobs))
  }
  if (only.has('suggest'))
    reportSuggestions((await onWorkers('suggest', racksOf(`${seed}/suggest`, 'even', 40))).flat())
  if (only.has('big')) reportBig(seed)
}

const racksOf = (seed: string, group: GroupName, count: number) =>
  Array.from({ length: count }, (_, i) => ({ group, seed: `${seed}/${group}/${i}` }))

function report(group: GroupName, racks: readonly Measured[]): void {
  const rows = racks.flatMap((rack) => rack.rows)
  const middle = (values: readonly number[]) => quantile(values, 0.5)
  console.log(`\n${group}: ${groups[group].say}`)
  for (const category of [...new Set(rows.map((row) => row.category))].toSorted())
    console.log(lineOf(`  ${category}`, figuresOf(rows.filter((row) => row.category === category))))
  console.log(lineOf('  all', figuresOf(rows)))
  console.log(lineOf('  next panel reads', figuresOf(rows.map((row) => row.next))))
  const slow = racks.filter((rack) => !rack.converged).length
  const unknown = racks.reduce((sum, rack) => sum + rack.unknown, 0)
  console.log(
    `  ${racks.length} racks of ${middle(racks.map((rack) => rack.readings))} readings (median); fit ${middle(racks.map((rack) => rack.fitMs)).toFixed(0)} ms` +
      `, not converged ${slow}; recipes of unknown things ${unknown}; scatter per coat ${(100 * middle(racks.map((rack) => rack.scatterPerCoat))).toFixed(1)} %`,
  )
}

function reportSuggestions(met: readonly Met[]): void {
  const errors = (pick: (one: Met) => number) => figuresOf(met.map((one) => ({ de00: pick(one), bound90: null })))
  console.log(
    '\nsuggest: colours that the shop’s paints can make and no panel shows; the first suggestion, sprayed as said',
  )
  console.log(
    lineOf(
      '  true difference',
      errors((one) => one.de00),
    ),
  )
  console.log(
    lineOf(
      '  nearest panel',
      errors((one) => one.nearest),
    ),
  )
  console.log(
    lineOf(
      '  predicted difference',
      errors((one) => one.predicted),
    ),
  )
  console.log(lineOf('  prediction’s error', figuresOf(met.map((one) => one.error))))
  console.log(`  said that nothing comes near: ${met.filter((one) => one.warned).length}`)
}
