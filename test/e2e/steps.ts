import { randomUUID } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { basename, join } from 'node:path'
import type { Locator, Page } from 'playwright-core'
import { expect } from 'vitest'
import type { Point, Quad } from '../../shared-core/records/area.ts'
import { dropFiles } from './gestures.ts'
import type { Host } from './hosts.ts'
import type { TestPhoto } from './scene.ts'

/** What a painter does, by the names that stand on the screen. */

/** Types over what a field suggests. A suggestion that comes just then would leave the text standing behind it. */
export async function typeOver(field: Locator, text: string): Promise<void> {
  do await field.fill(text)
  while ((await field.inputValue()) !== text)
}

export async function makeRack(host: Host, name: string): Promise<void> {
  const { page } = host
  const form = page.getByRole('form', { name: 'New rack' })
  await form.getByLabel('Name').fill(name)
  await typeOver(form.getByLabel('Where it lives'), join(host.folder, 'rack'))
  await form.getByRole('button', { name: 'Make the rack' }).click()
  await page.getByText(name, { exact: true }).waitFor()
}

export type PlaceName = 'Rack' | 'Match' | 'Plan' | 'Mix' | 'Jobs' | 'Shelf' | 'Tray' | 'Settings'

export async function goToPlace(page: Page, place: PlaceName): Promise<void> {
  await page.getByRole('navigation', { name: 'Places' }).getByRole('link', { name: place }).click()
}

export type PanelOnBack = { title: string; ground: string; formula: string; steps: string }

/** Types a panel in the way it stands on its back. @returns its code */
export async function writePanel(page: Page, { title, ground, formula, steps }: PanelOnBack): Promise<string> {
  await goToPlace(page, 'Rack')
  await page.getByRole('button', { name: 'New panel' }).first().click()
  await page.getByLabel('Title').fill(title)
  await page.getByLabel('Which ground').fill(ground)
  const candy = page.getByRole('listitem', { name: /^Layer \d: Candy/ })
  await candy.getByLabel(/^Formula|^Type the formula/).fill(formula)
  await page.getByLabel('Coats of candy, step by step').fill(steps)
  await page.getByRole('button', { name: /^Save P-/ }).click()
  await page.getByRole('heading', { level: 1, name: title }).waitFor()
  return decodeURIComponent(new URL(page.url()).pathname.split('/').at(-1)!)
}

/** Drops a photo into the tray and opens it on the desk. */
export async function dropIntoTray(page: Page, file: string): Promise<void> {
  await goToPlace(page, 'Tray')
  await dropFiles(page.getByRole('main', { name: 'Tray' }), [file])
  const waiting = page.getByRole('navigation', { name: 'Photos waiting' })
  await waiting.getByRole('link', { name: basename(file) }).click()
  const photo = page.getByRole('img', { name: `Photo ${basename(file)}` })
  await photo.waitFor()
  await page.waitForFunction((img) => (img as HTMLImageElement).naturalWidth > 0, await photo.elementHandle())
}

/** Where a place in the photo lies on the screen. */
async function onScreen(page: Page, size: { width: number; height: number }): Promise<(point: Point) => Point> {
  const box = (await page
    .getByRole('img', { name: /^Photo / })
    .first()
    .boundingBox())!
  return ([x, y]) => [box.x + (x / size.width) * box.width, box.y + (y / size.height) * box.height]
}

/** Marks a quadrilateral by a click on each corner. */
export async function markCorners(
  page: Page,
  tool: string,
  quad: Quad,
  size: { width: number; height: number },
): Promise<void> {
  const toolbar = page.getByRole('toolbar', { name: 'Marking' })
  await toolbar.getByRole('button', { name: tool }).click()
  const place = await onScreen(page, size)
  for (const corner of quad) {
    const [x, y] = place(corner)
    await page.mouse.click(x, y)
  }
}

/** The last photo's marks are proposed for one of the same size: this photo is marked anew. */
export async function declineProposal(page: Page): Promise<void> {
  const decline = page.getByRole('button', { name: 'Mark it anew' })
  if (await decline.isVisible()) await decline.click()
}

export async function choosePanel(page: Page, code: string): Promise<void> {
  await page.getByLabel('Which panel is it? Code or title').fill(code)
  await page
    .getByRole('list', { name: 'Panels found' })
    .getByRole('button', { name: new RegExp(`^${code}`) })
    .click()
}

/** The panel around its steps. */
export const outerCorners = (quads: readonly Quad[]): Quad => [
  quads[0]![0],
  quads[0]![1],
  quads.at(-1)![2],
  quads.at(-1)![3],
]

/** Files the photo on the desk as a colour that a customer wants. */
export async function fileAsReference(page: Page, name: string, { areas, card, ...size }: TestPhoto): Promise<void> {
  await page.getByRole('button', { name: 'A reference to match' }).click()
  await page.getByLabel('Name of the reference').fill(name)
  await declineProposal(page)
  await markCorners(page, 'One area', areas[0]!, size)
  await markCorners(page, 'Grey card', card!, size)
  await page.getByRole('button', { name: 'File as reference' }).click()
  await page.getByRole('link', { name: `Match ${name}` }).waitFor()
}

/** The PDF of the label that stands in the dialog. */
export async function labelPdf(host: Host): Promise<Uint8Array> {
  await host.page.getByRole('button', { name: 'Print', exact: true }).click()
  return dialogPdf(host, 'Print')
}

/** The PDF of what the print dialog of that name shows. */
export async function dialogPdf(host: Host, name: string): Promise<Uint8Array> {
  const dialog = host.page.getByRole('dialog', { name })
  await dialog.getByRole('img').first().waitFor()
  const verb = host.kind === 'browser' ? 'Open PDF to print' : 'Save as PDF'
  const pdf = await openedPdf(host, () => dialog.getByRole('button', { name: verb }).click())
  await dialog.getByRole('button', { name: 'Close' }).click()
  return pdf
}

/** The PDF that a press opens (browser) or saves (window). */
export async function openedPdf(host: Host, press: () => Promise<void>): Promise<Uint8Array> {
  const { page } = host
  if (host.kind === 'browser') {
    // a browser without a PDF viewer takes it as a download: what counts is what was asked for and what came
    const [asked] = await Promise.all([
      page.context().waitForEvent('request', (request) => request.url().includes('/document/')),
      press(),
    ])
    const response = await page.request.get(asked.url())
    expect(response.headers()['content-type']).toContain('application/pdf')
    return new Uint8Array(await response.body())
  }
  const file = join(host.folder, `${randomUUID()}.pdf`)
  await host.app!.evaluate(({ dialog: system }, filePath) => {
    system.showSaveDialog = async () => ({ canceled: false, filePath })
  }, file)
  await press()
  await expect.poll(() => readIfThere(file)?.length ?? 0).toBeGreaterThan(1000)
  return readIfThere(file)!
}

function readIfThere(file: string): Uint8Array | null {
  try {
    return new Uint8Array(readFileSync(file))
  } catch {
    return null
  }
}
