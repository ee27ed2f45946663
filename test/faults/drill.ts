import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { templates } from './damage/template.ts'
import { randomOf } from './fuzz/random.ts'
import { clock, type Experiment, type Findings, type Options, wordsOf } from './kit/experiment.ts'
import { disasters, restoreDrill } from './restore-drill.ts'

export const drill: Experiment = {
  name: 'drill',
  what: 'a rack is backed up, harmed, and brought back as a painter does it: photos equal byte by byte, tables row by row',
  count: 18,
  minutes: 8,
  run: drilling,
}

async function drilling(options: Options): Promise<Findings> {
  const { seed, count, say } = options
  const isOver = clock(options)
  const folder = mkdtempSync(join(tmpdir(), 'overground-drill-'))
  const broken: string[] = []
  const figures: Record<string, number | string> = { drills: 0, 'photos equal byte by byte': 0, 'rows equal': 0 }
  try {
    const { closed } = await templates(folder, randomOf(seed, 'drill'), 40)
    for (let i = 0; i < count && !isOver(); i++) {
      const scratch = mkdtempSync(join(folder, 'drill-'))
      const disaster = disasters[i % disasters.length]
      try {
        const found = await restoreDrill(closed.folder, seed + i, scratch, disaster)
        figures['drills'] = Number(figures['drills']) + 1
        figures['photos equal byte by byte'] = Number(figures['photos equal byte by byte']) + found.photos
        figures['rows equal'] = Number(figures['rows equal']) + found.rows
        figures[`  ${found.disaster}`] = Number(figures[`  ${found.disaster}`] ?? 0) + 1
        broken.push(...found.different.map((words) => `drill ${i} of seed ${seed}, ${found.disaster}: ${words}`))
      } catch (error) {
        broken.push(`drill ${i} of seed ${seed}, ${disaster}: ${wordsOf(error)}`)
      }
      rmSync(scratch, { recursive: true, force: true, maxRetries: 3 })
      if (i % 6 === 5) say(`${i + 1} of ${count} drills, ${broken.length} promises broken`)
    }
  } finally {
    rmSync(folder, { recursive: true, force: true, maxRetries: 3 })
  }
  return { figures, broken }
}
