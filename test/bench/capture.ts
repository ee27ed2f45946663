import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { noExposure } from '../../electron/photos/exposure.ts'
import { calibrateFromPhoto, readPhoto } from '../../electron/photos/read.ts'
import { chartColours, patchQuad } from '../../shared-core/capture/camera/chart.ts'
import type { AreaResult } from '../../shared-core/contract/photo-calls.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { Card, Layout, Quad, Tile } from '../../shared-core/records/area.ts'
import type { Caution } from '../../shared-core/records/photo.ts'
import type { SheetFit } from '../../shared-core/records/photo-sheet.ts'
import type { SetupFit } from '../../shared-core/records/setup.ts'
import { sheetCase, sheetKnownFrom } from './capture/on-sheet.ts'

type Rect = [number, number, number, number]
type Reference = { type: string; quad?: Quad; rect?: Rect; lab?: [number, number, number]; table?: string }
type Case = {
  file: string
  references?: Reference[]
  panels: { rect?: Rect }[]
  tone?: 'none'
  setup?: string
  flat?: string
  mm_per_px?: number
  sheet?: boolean
  sheetKnownFrom?: string
}
type Told = { warnings: string[]; notes: string[]; quad?: Quad }
type Panel = Told & ({ lab: [number, number, number]; bound90: number } | { refused: string })

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
  const setups = await calibrateAll(folder, cases)
  const sheets = await learnSheets(folder, cases)
  const results = []
  for (const one of cases) {
    const read = one.sheet ? await readSheetCase(folder, one, sheets) : { panels: await readCase(folder, one, setups) }
    const { panels } = read
    results.push({ file: one.file, ...read })
    console.log(`${one.file.padEnd(20)} ${panels.map(describe).join('; ')}`)
  }
  const target = out.endsWith('.json') ? out : join(out, 'results.json')
  mkdirSync(dirname(target), { recursive: true })
  writeFileSync(target, `${JSON.stringify({ results }, null, 1)}\n`)
  console.log(`${cases.length} photos, written to ${target}`)
}

/** The set-ups that photos with a chart calibrate, by name. */
async function calibrateAll(folder: string, cases: Case[]): Promise<Map<string, SetupFit>> {
  const setups = new Map<string, SetupFit>()
  for (const one of cases) {
    const layout = layoutOf(one)
    if (!one.setup || !layout.chart) continue
    const { fit, refused } = await calibrateFromPhoto(join(folder, one.file), layout, noExposure)
    if (fit) setups.set(one.setup, fit)
    console.log(
      `set-up ${one.setup}: ${fit ? `unseen patches ${fit.residual.median.toFixed(2)} / ${fit.residual.p90.toFixed(2)}` : refused?.code}`,
    )
  }
  return setups
}

/** What photos of a sheet with a chart on it teach, by file. */
async function learnSheets(folder: string, cases: Case[]): Promise<Map<string, SheetFit>> {
  const sheets = new Map<string, SheetFit>()
  for (const file of new Set(cases.flatMap(({ sheetKnownFrom: from }) => from ?? []))) {
    const { fit, why } = await sheetKnownFrom(join(folder, file), cardLabOf(cases.find((one) => one.file === file)))
    if (fit) sheets.set(file, fit)
    console.log(
      `sheet of ${file}: ${fit ? `${fit.inks.filter(Boolean).length} inks, all ± ${fit.shared90.toFixed(1)}` : why}`,
    )
  }
  return sheets
}

function cardLabOf(one: Case | undefined): Card['lab'] | null {
  const lab = one?.references?.find(({ type }) => type === 'grey')?.lab
  return lab ? { l: lab[0], a: lab[1], b: lab[2] } : null
}

async function readSheetCase(
  folder: string,
  one: Case,
  sheets: Map<string, SheetFit>,
): Promise<{ code?: string; panels: Panel[] }> {
  const path = join(folder, one.file)
  const all = (panel: Panel) => one.panels.map(() => panel)
  try {
    const found = await sheetCase(path, cardLabOf(one))
    if (!found) return { panels: all({ refused: 'sheet-not-seen', warnings: [], notes: [] }) }
    const { layout, quad, code } = found
    const knownSheet = one.sheetKnownFrom ? (sheets.get(one.sheetKnownFrom) ?? null) : null
    const reading = await readPhoto(path, layout, { tone: one.tone ?? 'unknown', knownSheet })
    const panels = reading.results.map((result) => ({ ...panelOf(result, reading.photo), quad }))
    return { ...(code === null ? {} : { code }), panels }
  } catch (error) {
    if (!(error instanceof Refusal)) throw error
    return { panels: all({ refused: bare(error.code), warnings: [], notes: [] }) }
  }
}

function layoutOf(one: Case): Layout {
  const references = one.references ?? []
  const areas = one.panels.flatMap(({ rect }) =>
    rect ? [{ stepId: null, shape: { kind: 'quad' as const, quad: rectQuad(rect) } }] : [],
  )
  const chart = references.find(({ type, quad }) => type === 'chart24' && quad)
  const tiles = references.flatMap(({ type, lab, rect }): Tile[] =>
    (type === 'white' || type === 'black') && lab && rect
      ? [{ kind: type, quad: rectQuad(rect), lab: { l: lab[0], a: lab[1], b: lab[2] } }]
      : [],
  )
  return {
    areas,
    card: cardOf(references),
    tiles,
    chart: chart?.quad ? { quad: chart.quad, table: 'avg30' } : null,
    mmPerPixel: one.mm_per_px ?? null,
  }
}

async function readCase(folder: string, one: Case, setups: Map<string, SetupFit>): Promise<Panel[]> {
  const layout = layoutOf(one)
  const setup = one.setup && !layout.chart ? (setups.get(one.setup) ?? null) : null
  try {
    const { results, photo } = await readPhoto(join(folder, one.file), layout, {
      tone: one.tone ?? 'unknown',
      setup,
      flat: one.flat ? join(folder, one.flat) : null,
    })
    return results.map((result) => panelOf(result, photo))
  } catch (error) {
    if (!(error instanceof Refusal)) throw error
    return one.panels.map(() => ({ refused: bare(error.code), warnings: [], notes: [] }))
  }
}

function panelOf({ colour, refused }: AreaResult, photo: Caution[]): Panel {
  const told = [...photo, ...(colour?.cautions ?? [])]
  const codesOf = (isNote: boolean) => [
    ...new Set(told.filter(({ weight }) => (weight === 'note') === isNote).map(({ code }) => bare(code))),
  ]
  const said = { warnings: codesOf(false), notes: codesOf(true) }
  if (!colour) return { refused: bare(refused?.code ?? 'photo/no-colour'), ...said }
  const { l, a, b } = colour.lab
  return { lab: [l, a, b], bound90: colour.bound90, ...said }
}

const bare = (code: string) => code.slice(code.indexOf('/') + 1)

/** The grey card, or else patch 22 of a chart. */
function cardOf(references: Reference[]): Card | null {
  const grey = references.find(({ type, lab, rect }) => type === 'grey' && lab && rect)
  if (grey?.lab && grey.rect) {
    const [l, a, b] = grey.lab
    return { quad: rectQuad(grey.rect), lab: { l, a, b } }
  }
  const chart = references.find(({ type }) => type === 'chart24')
  if (!chart?.quad) return null
  return { quad: patchQuad(chart.quad, greyPatch, 0.5), lab: chartColours('avg30')[greyPatch - 1]! }
}

function describe(panel: Panel): string {
  const said = [...panel.warnings, ...panel.notes].join(' ')
  if ('refused' in panel) return `refused: ${panel.refused} ${said}`
  return `${panel.lab.map((v) => v.toFixed(1)).join(' ')} ± ${panel.bound90.toFixed(1)} ${said}`
}
