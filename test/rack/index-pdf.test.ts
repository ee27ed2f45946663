/** The index of a large rack stays small enough to send: 600 panels of four steps, each with a grainy picture of its own size. */
import { mkdtemp, rm, stat } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import sharp from 'sharp'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { printPicture } from '../../electron/photos/print-picture.ts'
import { drawPagesPdf } from '../../electron/print/draw-pages.ts'
import { layOutRackIndex } from '../../electron/print/sheets.ts'
import { noFilter, type PanelSummary } from '../../shared-core/records/panel.ts'
import { usualPrinting } from '../../shared-core/records/sheet.ts'
import { rasterise } from './raster.ts'

let folder: string
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'index-pdf-'))
})
afterAll(() => rm(folder, { recursive: true }))

/** As coarse a flake as there is: every dot another lightness. */
async function grainy(path: string, seed: number): Promise<void> {
  const [width, height] = [256, 120]
  const data = Buffer.alloc(width * height * 3)
  let state = seed
  for (let i = 0; i < data.length; i++) {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    data[i] = 60 + (seed % 5) * 20 + (state >>> 26)
  }
  await sharp(data, { raw: { width, height, channels: 3 } })
    .webp({ quality: 92 })
    .toFile(path)
}

it('600 panels take less than 6 MB, every one of them on its page', async () => {
  const cuts = await Promise.all(
    Array.from({ length: 12 }, async (_, i) => {
      const path = join(folder, `${i}.webp`)
      await grainy(path, i + 1)
      return path
    }),
  )
  const panels = Array.from(
    { length: 600 },
    (_, i): PanelSummary => ({
      id: `p${i}`,
      code: `P-${String(i).padStart(4, '0')}`,
      title: `Panel ${i}`,
      status: 'sprayed',
      sprayedOn: null,
      ground: 'bright silver',
      candies: [],
      coatsFrom: 1,
      coatsTo: 4,
      cleared: true,
      tags: [],
      bands: [1, 2, 3, 4].map((coats) => ({ stepId: `${i}-${coats}`, coats, lab: null, bound90: null, cut: `${i}` })),
    }),
  )
  const pages = layOutRackIndex(panels, 'North wall', {
    kind: 'index',
    panelIds: null,
    filter: noFilter,
    sort: 'code',
    groupByGround: true,
    paper: usualPrinting.paper,
    columns: usualPrinting.indexColumns,
    shows: usualPrinting.shows.index,
    wording: { decimal: 'point', units: 'metric' },
  })
  const file = join(folder, 'index.pdf')
  let drawn = 0
  await drawPagesPdf(pages, file, {
    title: 'index',
    pictureOf: (mark) => {
      const cut = cuts[Number(mark.key.slice('cut/'.length)) % cuts.length]!
      return printPicture(cut, Math.round((mark.widthMm * 150) / 25.4), Math.round((mark.heightMm * 150) / 25.4))
    },
    onPage: () => void drawn++,
  })
  expect(drawn).toBe(pages.length)
  const { size } = await stat(file)
  expect(size).toBeLessThan(6_000_000)
  const said = (await rasterise(file, 20)).map(({ text }) => text).join(' ')
  for (const { code } of panels) expect(said).toContain(code)
  console.info(`${pages.length} pages, ${(size / 1e6).toFixed(1)} MB`)
}, 120_000)
