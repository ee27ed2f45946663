import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { encodeJpeg } from '../../electron/photos/encode.ts'
import { qrRows } from '../../electron/print/qr.ts'
import { layOutPhotoSheet } from '../../shared-core/label/photo-sheet/layout.ts'
import { photoSheetPlaces } from '../../shared-core/label/photo-sheet/places.ts'
import type { SheetPrint } from '../../shared-core/records/photo-sheet.ts'
import { pagePicture, photograph, plainView } from '../unit/sheet-scene.ts'
import { dropFiles } from './gestures.ts'
import { type Host, startHost } from './hosts.ts'
import { goToPlace, makeRack, writePanel } from './steps.ts'

/** A panel on its photo sheet, from the file that is dropped to the reading that is filed, by keys alone. */
let host: Host

const print: SheetPrint = {
  paper: { widthMm: 210, heightMm: 297 },
  panel: { widthMm: 100, heightMm: 150 },
  series: 31_007,
}

/** The sheet as it is printed for this panel, with a wine-red panel in its window and a grey card in its frame. */
async function photographed(code: string): Promise<Uint8Array> {
  const rows = await qrRows(code)
  const { window, card } = photoSheetPlaces(print.paper, print.panel)
  const letters = (text: string, _face: string, sizeMm: number): number => text.length * sizeMm * 0.55
  const page = pagePicture(
    layOutPhotoSheet(print, { code, title: '' }, letters, () => rows),
    [
      { ...window, srgb: [96, 12, 24] },
      { ...card, srgb: [119, 119, 119] },
    ],
  )
  const pixels = photograph(page, print.paper, {
    ...plainView,
    width: 1320,
    height: 990,
    tilt: 12,
    towards: 30,
    gradient: 0.06,
  })
  return encodeJpeg({
    pixels: pixels.data as Uint8Array,
    width: pixels.width,
    height: pixels.height,
    space: 'sRGB',
    quality: 92,
    onItsSide: false,
    exif: {
      camera: 'Test camera',
      takenAt: new Date('2026-05-14T10:20:30Z'),
      exposureS: 1 / 60,
      fNumber: 1.8,
      iso: 100,
    },
  })
}

beforeAll(async () => {
  host = await startHost()
})
afterAll(async () => host?.stop())

test('a photo on its sheet is proposed with its panel, filed by one key, and taken back by one Undo', async () => {
  const { page } = host
  await makeRack(host, 'Sheets')
  const code = await writePanel(page, {
    title: 'Wine',
    ground: 'bright silver',
    formula: 'red straight in 6:1 carrier',
    steps: '3',
  })
  const file = join(host.folder, 'IMG_0001.jpg')
  writeFileSync(file, await photographed(code))
  await goToPlace(page, 'Tray')
  await dropFiles(page.getByRole('main', { name: 'Tray' }), [file])
  const waiting = page.getByRole('navigation', { name: 'Photos waiting' })
  await page.getByText('Proposed, from the code on its sheet').waitFor()
  await page.getByRole('button', { name: `File to ${code}` }).waitFor()
  await waiting.getByRole('link', { name: `IMG_0001.jpg, ${code}, sure` }).waitFor()
  await page.keyboard.press('Enter')
  await page.getByText('Filed, 1 reading.').waitFor()
  await waiting.getByRole('heading', { name: 'None waiting' }).waitFor()
  const { readings, panel } = await host.call('panels.get', { key: code })
  expect(readings).toMatchObject([{ stepId: panel.steps[0]!.id, view: 'face' }])
  await page.keyboard.press('Control+z')
  await page.getByText(/^Undone: file IMG_0001\.jpg/).waitFor()
  await waiting.getByRole('link', { name: `IMG_0001.jpg, ${code}, sure` }).waitFor()
  expect((await host.call('panels.get', { key: code })).readings).toEqual([])
})

test('all that are sure are filed by one confirmation, with one Undo', async () => {
  const { page } = host
  await page.getByLabel('IMG_0001.jpg: mark the panel and the grey card').waitFor()
  await page.getByRole('button', { name: 'File 1 that is sure…' }).waitFor()
  await page.keyboard.press('f')
  const dialog = page.getByRole('dialog', { name: 'File the photos that are sure' })
  await dialog.getByRole('option', { name: /Wine/ }).waitFor()
  await page.keyboard.press('Enter')
  await page.getByText('1 photo filed.').waitFor()
  await page.getByRole('heading', { name: 'No photo is waiting' }).waitFor()
  await page.keyboard.press('Control+z')
  await page.getByRole('navigation', { name: 'Photos waiting' }).getByRole('heading', { name: '1 waiting' }).waitFor()
  expect(host.complaints).toEqual([])
})
