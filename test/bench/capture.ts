import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { readPhoto } from '../../electron/photos/read.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { Card, Layout, Quad } from '../../shared-core/records/area.ts'
import { patchQuad } from './patches.ts'

type Rect = [number, number, number, number]
type Reference = { type: string; quad: Quad; rect?: Rect; lab?: [number, number, number]; table?: string }
type Case = { file: string; references?: Reference[]; panels: { rect: Rect }[]; tone?: 'none' }
type Panel =
  | { lab: [number, number, number]; bound90: number; warnings: string[]; notes: string[] }
  | { refused: string; warnings: string[]; notes: string[] }

/** Cautions that tell something and ask for nothing to be done before the reading is used. */
const notes = new Set(['channel-at-zero', 'no-card', 'untagged'])
/** "Neutral 5" of a 24-patch chart: its Lab stands in `chart24.json` beside the photos. */
const greyPatch = 22

const rectQuad = ([left, top, right, bottom]: Rect): Quad => [
  [left, top],
  [right, top],
  [right, bottom],
  [left, bottom],
]

/** `capture CASES_DIR OUT`: OUT is a folder (then OUT/results.json) or a .json file. */
export async function run(args: string[]): Promise<void> {
  const [folder, out] = args
  if (!folder || !out) throw new Error('usage: bench -- capture CASES_DIR OUT')
  const { cases } = JSON.parse(readFileSync(join(folder, 'cases.json'), 'utf8')) as { cases: Case[] }
  const results = []
  for (const one of cases) {
    const panels = await readCase(folder, one)
    results.push({ file: one.file, panels })
    console.log(`${one.file.padEnd(20)} ${panels.map(describe).join('; ')}`)
  }
  const target = out.endsWith('.json') ? out : join(out, 'results.json')
  mkdirSync(dirname(target), { recursive: true })
  writeFileSync(target, `${JSON.stringify({ results }, null, 1)}\n`)
  console.log(`${cases.length} photos, written to ${target}`)
}

async function readCase(folder: string, one: Case): Promise<Panel[]> {
  const areas = one.panels.map(({ rect }) => ({ stepId: null, shape: { kind: 'quad' as const, quad: rectQuad(rect) } }))
  const layout: Layout = { areas, card: cardOf(folder, one.references ?? []) }
  try {
    const { results, photo } = await readPhoto(join(folder, one.file), layout, { tone: one.tone ?? 'unknown' })
    return results.map(({ colour, refused }): Panel => {
      const codes = new Set([...photo, ...(colour?.cautions ?? [])].map(({ code }) => bare(code)))
      const said = {
        warnings: [...codes].filter((code) => !notes.has(code)),
        notes: [...codes].filter((code) => notes.has(code)),
      }
      if (!colour) return { refused: bare(refused?.code ?? 'photo/no-colour'), ...said }
      const { l, a, b } = colour.lab
      return { lab: [l, a, b], bound90: colour.bound90, ...said }
    })
  } catch (error) {
    if (!(error instanceof Refusal)) throw error
    return one.panels.map(() => ({ refused: bare(error.code), warnings: [], notes: [] }))
  }
}

const bare = (code: string) => code.slice(code.indexOf('/') + 1)

/** The grey card, or else patch 22 of a chart. */
function cardOf(folder: string, references: Reference[]): Card | null {
  const grey = references.find(({ type, lab, rect }) => type === 'grey' && lab && rect)
  if (grey?.lab && grey.rect) {
    const [l, a, b] = grey.lab
    return { quad: rectQuad(grey.rect), lab: { l, a, b } }
  }
  const chart = references.find(({ type }) => type === 'chart24')
  if (!chart) return null
  const tables = JSON.parse(readFileSync(join(folder, '../../photos/chart24.json'), 'utf8')) as {
    labD50: Record<string, [number, number, number][]>
  }
  const [l, a, b] = tables.labD50[chart.table ?? 'avg30']![greyPatch - 1]!
  return { quad: patchQuad(chart.quad, greyPatch, 0.5), lab: { l, a, b } }
}

function describe(panel: Panel): string {
  const said = [...panel.warnings, ...panel.notes].join(' ')
  if ('refused' in panel) return `refused: ${panel.refused} ${said}`
  return `${panel.lab.map((v) => v.toFixed(1)).join(' ')} ± ${panel.bound90.toFixed(1)} ${said}`
}
