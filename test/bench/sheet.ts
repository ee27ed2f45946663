/** `npm run bench -- sheet OUT.pdf --paper a4 --panel 100x150 --code P-0042`: a photo sheet, and where everything lies on it. */
import { writeFileSync } from 'node:fs'
import { drawPagesPdf } from '../../electron/print/draw-pages.ts'
import { measureText } from '../../electron/print/fonts.ts'
import { qrRows } from '../../electron/print/qr.ts'
import { layOutPhotoSheet } from '../../shared-core/label/photo-sheet/layout.ts'
import { photoSheetPlaces } from '../../shared-core/label/photo-sheet/places.ts'
import type { Patch, Rect } from '../../shared-core/label/photo-sheet/room.ts'
import { papers } from '../../shared-core/label/sheet/paper.ts'

const usage =
  'usage: npm run bench -- sheet OUT.pdf --paper a4|letter --panel WIDTHxHEIGHT [--code P-0042] [--series 1]'

export async function run(args: string[]): Promise<void> {
  const said = (name: string): string | undefined => {
    const at = args.indexOf(`--${name}`)
    return at < 0 ? undefined : args[at + 1]
  }
  const [out] = args
  const paper = papers.find(({ name }) => name.toLowerCase() === (said('paper') ?? 'a4').toLowerCase())?.size
  const [widthMm, heightMm] = (said('panel') ?? '100x150').split('x').map(Number)
  if (out === undefined || !out.endsWith('.pdf') || !paper || !widthMm || !heightMm) {
    console.error(usage)
    process.exitCode = 2
    return
  }
  const code = said('code') ?? null
  const print = { paper, panel: { widthMm, heightMm }, series: Number(said('series') ?? 1) }
  const rows = code === null ? [] : await qrRows(code)
  const panel = code === null ? null : { code, title: '' }
  const page = layOutPhotoSheet(print, panel, measureText, () => rows)
  await drawPagesPdf([page], out, { title: `photo sheet ${code ?? ''}`.trim() })
  const places = photoSheetPlaces(print.paper, print.panel)
  const inked = (patch: Patch) => ({ quad: quadOf(patch), srgb: codesOf(patch.hex) })
  const answer = {
    pageMm: [paper.widthMm, paper.heightMm],
    marks: places.corners.map((corner, at) => ({ id: at + 1, quad: quadOf(corner) })),
    window: quadOf(places.window),
    card: quadOf(places.card),
    chart: quadOf(places.chart),
    steps: places.steps.map(inked),
    colours: places.colours.map(inked),
    code,
  }
  writeFileSync(out.replace(/\.pdf$/u, '.json'), `${JSON.stringify(answer, null, 1)}\n`)
  console.log(
    `${out}: ${places.steps.length} greys and ${places.colours.length} colours, ` +
      `panel, card and chart ${places.shared ? 'in one place' : 'in places of their own'}`,
  )
}

const quadOf = ({ xMm, yMm, widthMm, heightMm }: Rect): number[][] =>
  [
    [xMm, yMm],
    [xMm + widthMm, yMm],
    [xMm + widthMm, yMm + heightMm],
    [xMm, yMm + heightMm],
  ].map((point) => point.map((mm) => Number(mm.toFixed(3))))

const codesOf = (hex: string): number[] => [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16))
