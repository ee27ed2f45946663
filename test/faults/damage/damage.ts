import { cpSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { putBack } from '../../../electron/rack/backups/put-back.ts'
import { openRack } from '../../../electron/rack/opening/open.ts'
import { randomOf } from '../fuzz/random.ts'
import { clock, type Experiment, type Findings, type Options, wordsOf } from '../kit/experiment.ts'
import { allRows, differences, inCopy } from '../kit/inspect.ts'
import { harmFiles } from './files.ts'
import { type Harm, harms } from './harms.ts'
import { type Template, templates } from './template.ts'

export const damage: Experiment = {
  name: 'damage',
  what: 'files of a rack are cut, bits flipped, pages swapped, the log lost: opened whole, or told, or refused and restored',
  count: 200,
  minutes: 10,
  run: harming,
}

/** So many databases are harmed for one rack whose other files are. */
const casesForFiles = 20

type Fate = 'whole' | 'told' | 'restored' | 'refused' | 'silent'

async function harming(options: Options): Promise<Findings> {
  const { seed, count, say } = options
  const random = randomOf(seed, 'damage')
  const isOver = clock(options)
  const folder = mkdtempSync(join(tmpdir(), 'overground-damage-'))
  const broken: string[] = []
  const fates = new Map<string, Map<Fate, number>>()
  const total: Record<Fate, number> = { whole: 0, told: 0, restored: 0, refused: 0, silent: 0 }
  const files = { racks: 0, originals: 0 }
  try {
    const made = await templates(folder, random, 40)
    for (let i = 0; i < count && !isOver(); i++) {
      const harm = harms[i % harms.length] as Harm
      const template = made[harm.of]
      const rack = join(folder, 'harmed')
      rmSync(rack, { recursive: true, force: true })
      cpSync(template.folder, rack, { recursive: true, preserveTimestamps: true })
      const done = harm.do(rack, random, made.olderLog)
      const { fate, said } = await fateOf(rack, template)
      total[fate]++
      const counted = fates.get(harm.name) ?? new Map<Fate, number>()
      counted.set(fate, (counted.get(fate) ?? 0) + 1)
      fates.set(harm.name, counted)
      if (fate === 'silent') broken.push(`case ${i} of seed ${seed}, ${harm.name} (${done}): ${said}`)
      if (i % casesForFiles === 0) {
        const scratch = join(folder, `files-${i}`)
        const told = await harmFiles(made.closed, made.sources, scratch, random)
        files.originals += told.originals
        files.racks++
        broken.push(...told.broken.map((words) => `files, after case ${i} of seed ${seed}: ${words}`))
        rmSync(scratch, { recursive: true, force: true, maxRetries: 3 })
      }
      if (i % 50 === 49) say(`${i + 1} of ${count} racks, ${broken.length} promises broken`)
    }
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
  return {
    figures: {
      'damaged racks': Object.values(total).reduce((a, b) => a + b, 0),
      'opened whole': total.whole,
      'opened, and what is wrong was told': total.told,
      'refused, and restored from a backup': total.restored,
      'refused, and opened again by hand (a lock)': total.refused,
      'silently wrong, or lost': total.silent,
      'racks with harmed originals, a harmed backup, harmed settings': files.racks,
      'originals that were harmed, told of and found again': files.originals,
      ...Object.fromEntries(
        [...fates].map(([name, counted]) => [`  ${name}`, [...counted].map(([fate, n]) => `${n} ${fate}`).join(', ')]),
      ),
    },
    broken,
  }
}

/** Opens a harmed rack as the application does. */
async function fateOf(folder: string, template: Template): Promise<{ fate: Fate; said: string }> {
  let refused: unknown
  try {
    const rack = await openRack(folder)
    await rack.close()
    const wrong = differences(template.rows, inCopy(folder, allRows))
    if (wrong.length === 0) return { fate: 'whole', said: '' }
    const told = rack.cautions.map(({ code }) => code).join()
    return told === ''
      ? { fate: 'silent', said: `opened without a word; ${wrong.join('; ')}` }
      : { fate: 'told', said: told }
  } catch (error) {
    refused = error
  }
  const { code } = refused as { code?: string }
  if (!code?.startsWith('rack/')) return { fate: 'silent', said: `not a refusal: ${wordsOf(refused)}` }
  if (code === 'rack/locked') {
    // in words; the painter deletes the lock
    rmSync(join(folder, 'lock'))
    const { fate, said } = await fateOf(folder, template)
    return fate === 'whole' ? { fate: 'refused', said } : { fate, said }
  }
  return restored(folder, template, wordsOf(refused))
}

/** What was refused comes back from its newest backup, row for row. */
async function restored(folder: string, template: Template, why: string): Promise<{ fate: Fate; said: string }> {
  const [newest] = template.backups
  if (!newest) return { fate: 'silent', said: `${why}; and there is no backup` }
  try {
    await putBack(folder, newest.file)
    const rack = await openRack(folder)
    await rack.close()
    const wrong = differences(newest.rows, inCopy(folder, allRows))
    return wrong.length === 0
      ? { fate: 'restored', said: why }
      : { fate: 'silent', said: `${why}; restored otherwise than its backup: ${wrong.join('; ')}` }
  } catch (error) {
    return { fate: 'silent', said: `${why}; and not restored: ${wordsOf(error)}` }
  }
}
