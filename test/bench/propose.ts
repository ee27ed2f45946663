import { readFileSync, writeFileSync } from 'node:fs'
import { basename, join } from 'node:path'
import { look } from '../../electron/photos/propose/look.ts'
import type { Found } from '../../shared-core/records/proposal.ts'
import { checkAnswers } from './propose/check.ts'
import { timeLooking } from './propose/timing.ts'

/** What `cases.json` or `index.json` lists: nothing but the names is used to find things. */
type Listed = { file: string }

const usage = 'usage: bench -- propose CASES_DIR OUT.json [--check] [--no-times]'

/**
 * `propose CASES_DIR OUT.json [--check] [--no-times]`: what is found in each photo that CASES_DIR's `cases.json` or `index.json`
 * names; the printed times are over generated photos of 12 megapixels. `--check` compares with the outlines that the same file holds.
 */
export async function run(args: string[]): Promise<void> {
  const [folder, out] = args.filter((arg) => !arg.startsWith('--'))
  if (!folder) throw new Error(usage)
  const listed = casesIn(folder)
  const results: ({ file: string } & Found)[] = []
  for (const { file } of listed) results.push({ file, ...(await look(join(folder, file))) })
  if (out)
    writeFileSync(
      out,
      `${JSON.stringify({ results: results.map(({ file, panels, cards, chart }) => ({ file, panels: panels.map(asResult), cards, chart })) }, null, 1)}\n`,
    )
  const sure = results.map(({ panels, cards, chart }) => ({
    panels: panels.filter(isSure).length,
    cards: cards.filter(isSure).length,
    charts: chart && isSure(chart) ? 1 : 0,
  }))
  const sum = (kind: 'panels' | 'cards' | 'charts') => sure.reduce((all, one) => all + one[kind], 0)
  console.log(
    `${basename(folder)}: ${results.length} photos, found for sure ${sum('panels')} panels, ${sum('cards')} cards, ${sum('charts')} charts`,
  )
  if (args.includes('--check')) checkAnswers(listed, results)
  if (!args.includes('--no-times')) await timeLooking()
}

const isSure = ({ confidence }: { confidence: number }) => confidence >= 0.5

const asResult = ({ quad, confidence, steps }: Found['panels'][number]) =>
  steps.length > 0 ? { quad, confidence, steps } : { quad, confidence }

function casesIn(folder: string): Listed[] {
  for (const name of ['cases.json', 'index.json']) {
    try {
      const list = JSON.parse(readFileSync(join(folder, name), 'utf8')) as { cases?: Listed[]; photos?: Listed[] }
      return list.cases ?? list.photos ?? []
    } catch (error) {
      if ((error as { code?: unknown }).code !== 'ENOENT') throw error
    }
  }
  throw new Error(`Neither cases.json nor index.json is in ${folder}.`)
}
