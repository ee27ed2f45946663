import { writeFileSync } from 'node:fs'
import { type AnyGroup, type AnyMeasured, allGroups, ofGroup, usualCounts } from './scenes/all-groups.ts'
import { alarmsOf, figuresOf, lineOf } from './scenes/figures.ts'
import { type Group, groups } from './scenes/groups.ts'
import { reportLabels } from './scenes/labels/report.ts'
import type { Measured } from './scenes/measure.ts'
import { type Job, measureAll } from './scenes/pool.ts'
import { reportProposals } from './scenes/proposals/report.ts'
import { reportSheets } from './scenes/sheet/report.ts'
import { sceneData } from './scenes/spectra/data.ts'
import { reportSteps } from './scenes/steps/report.ts'

const usage = `usage: bench -- scenes [--only ${allGroups.join('|')}]… [--count SETS] [--seed NAME] [OUT.json]`

type Wanted = { only: AnyGroup[]; count: number | null; seed: string; out: string | null }

function wantedOf(args: readonly string[]): Wanted {
  const wanted: Wanted = { only: [], count: null, seed: 'scenes', out: null }
  for (let i = 0; i < args.length; i++) {
    const arg = args[i]!
    if (arg === '--only') {
      const group = allGroups.find((one) => one === args[i + 1])
      if (!group) throw new Error(usage)
      wanted.only.push(group)
      i++
    } else if (arg === '--count') wanted.count = Number.parseInt(args[++i] ?? '', 10)
    else if (arg === '--seed') wanted.seed = args[++i] ?? ''
    else if (arg.endsWith('.json')) wanted.out = arg
    else throw new Error(usage)
  }
  if (wanted.count !== null && !(wanted.count > 0)) throw new Error(usage)
  return wanted
}

/**
 * `scenes [--only GROUP] [--count SETS] [--seed NAME] [OUT.json]`: rendered photos of panels whose colours are known from
 * their spectra. Nothing of the renderer is known to the reading.
 */
export async function run(args: string[]): Promise<void> {
  const { only, count, seed, out } = wantedOf(args)
  try {
    sceneData()
  } catch (error) {
    console.log(`skipped: ${error instanceof Error ? error.message : String(error)}`)
    return
  }
  const chosen = only.length > 0 ? only : allGroups
  const jobs = chosen.flatMap((group): Job[] =>
    Array.from({ length: count ?? usualCounts[group] }, (_, set) => ({ group, set, seed })),
  )
  const measured = (await measureAll(jobs)).flat()
  const report = chosen.map((group) => reportAny(group, measured))
  const photos = groups.flatMap((group) => ofGroup(measured, group))
  const readings = photos.filter(isCounted).flatMap((photo) => photo.readings)
  const all = readings.length > 0 ? figuresOf(readings) : null
  if (all) console.log(lineOf('ALL', all))
  const alarms = alarmsOf(photos)
  if (photos.length > 0) {
    console.log(
      `bad photos flagged ${alarms.flagged} of ${alarms.bad}; warnings on good photos ${alarms.alarms} of ${alarms.good}`,
    )
    for (const line of alarms.missed) console.log(`  missed  ${line}`)
    for (const line of alarms.alarmed) console.log(`  alarm   ${line}`)
  }
  if (out) writeFileSync(out, `${JSON.stringify({ seed, groups: report, all, alarms, photos: measured }, null, 1)}\n`)
}

function reportAny(group: AnyGroup, measured: readonly AnyMeasured[]) {
  if (group === 'sheet-known' || group === 'sheet-new') return reportSheets(group, ofGroup(measured, group))
  if (group === 'steps') return reportSteps(ofGroup(measured, group))
  if (group === 'proposals') return reportProposals(ofGroup(measured, group))
  if (group === 'labels') return reportLabels(ofGroup(measured, group))
  return reportOf(group, ofGroup(measured, group))
}

/** Photos with nothing wrong, whose answers count. */
const isCounted = (photo: Measured): boolean => photo.facts.trouble === null && !photo.calibrates

function reportOf(group: Group, photos: Measured[]) {
  const counted = photos.filter(isCounted)
  const readings = counted.flatMap((photo) => photo.readings)
  const figures = readings.length > 0 ? figuresOf(readings) : null
  const levels = [...new Set(readings.flatMap(({ level }) => level ?? []))]
  if (figures) console.log(`${lineOf(group, figures)}  read by ${levels.join(', ')}`)
  const differences = group === 'two-panels' ? counted.flatMap(({ difference }) => difference ?? []) : []
  const ofDifference = differences.length > 0 && {
    size: figuresOf(differences.map(({ ofSize, bound90 }) => ({ de00: ofSize, bound90 }))),
    place: figuresOf(differences.map(({ ofPlace, bound90 }) => ({ de00: ofPlace, bound90 }))),
  }
  if (ofDifference) {
    console.log(lineOf('  difference, its size', ofDifference.size))
    console.log(lineOf('  difference, its place', ofDifference.place))
  }
  return { group, figures, levels, ...(ofDifference ? { difference: ofDifference } : {}) }
}
