import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { copyFile } from 'node:fs/promises'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import type { Quad } from '../../shared-core/records/area.ts'
import { type Host, startHost } from './hosts.ts'
import { readLabel } from './read-label.ts'
import { renderTestPhoto, type TestPhoto } from './scene.ts'
import {
  choosePanel,
  declineProposal,
  dropIntoTray,
  goToPlace,
  labelPdf,
  makeRack,
  markCorners,
  writePanel,
} from './steps.ts'

/**
 * The main job from end to end: a panel with its formula, its photo, a reading; a customer's reference; the nearest
 * panel; its label. Once with a photo that is rendered here, once with a real photo of a 24-patch chart where it is at hand.
 */
let host: Host
let sprayed: TestPhoto
let asked: TestPhoto
const photos = fileURLToPath(new URL('../../../shared/photos/', import.meta.url))

beforeAll(async () => {
  host = await startHost()
  await host.page.setViewportSize({ width: 1280, height: 800 })
  sprayed = await renderTestPhoto(join(host.folder, 'harbour.jpg'), {
    dye: 'Halyard',
    coats: [1, 2, 4],
    seed: 'sprayed',
  })
  asked = await renderTestPhoto(join(host.folder, 'tank.jpg'), { dye: 'Halyard', coats: [4], seed: 'asked' })
})
afterAll(async () => host?.stop())

const outer = (quads: readonly Quad[]): Quad => [quads[0]![0], quads[0]![1], quads.at(-1)![2], quads.at(-1)![3]]

test('a rack is made', async () => {
  await makeRack(host, 'Test wall')
  expect((await host.call('rack.describe', {})).rack).toMatchObject({ name: 'Test wall', panelCount: 0 })
})

test('panels are written down as they stand on their backs', async () => {
  const code = await writePanel(host.page, {
    title: 'Harbour ladder',
    ground: 'bright silver',
    formula: '4:1 halyard + teal, in 6:1 carrier, 4 coats',
    steps: '1 2 4',
  })
  expect(code).toBe('P-0001')
  const { panel } = await host.call('panels.get', { key: code })
  const candy = panel.layers.find((layer) => layer.kind === 'candy')!
  expect(candy.coats).toBe(4)
  expect(candy.mixture!.parts).toHaveLength(2)
  const blend = candy.mixture!.parts.find((part) => part.mixture)!.mixture!
  expect(blend.parts.map((part) => [part.amount, part.material?.name])).toEqual([
    [4, 'halyard'],
    [1, 'teal'],
  ])
  expect(panel.steps.map((step) => step.coats)).toEqual([1, 2, 4])
  await writePanel(host.page, { title: 'Red decoy', ground: 'gold', formula: '1:6 red + carrier', steps: '3' })
})

test('a photo is dropped, marked and filed to its panel', async () => {
  const { page } = host
  await dropIntoTray(page, join(host.folder, 'harbour.jpg'))
  await choosePanel(page, 'P-0001')
  await markCorners(page, 'Mark the panel', outer(sprayed.areas), sprayed)
  await markCorners(page, 'Grey card', sprayed.card!, sprayed)
  await page.getByRole('button', { name: 'File to P-0001' }).click()
  await page.getByText('Filed, 3 readings.').waitFor()
  const { readings } = await host.call('panels.get', { key: 'P-0001' })
  expect(readings).toHaveLength(3)
  for (const reading of readings) expect(reading.level).toBe('card')
  // a phone with a cast and a tone curve: each colour lies within its own stated bound of what was rendered
  const { panel } = await host.call('panels.get', { key: 'P-0001' })
  for (const [i, step] of panel.steps.entries()) {
    const reading = readings.find((one) => one.stepId === step.id)!
    expect(differenceCiede2000(reading.lab, sprayed.truth[i]!)).toBeLessThan(reading.bound90)
  }
})

test('a reference is photographed, and the panel is found by it', async () => {
  const { page } = host
  await dropIntoTray(page, join(host.folder, 'tank.jpg'))
  await page.getByRole('button', { name: 'A reference to match' }).click()
  await page.getByLabel('Name of the reference').fill('Customer’s tank')
  await declineProposal(page)
  await markCorners(page, 'One area', asked.areas[0]!, asked)
  await markCorners(page, 'Grey card', asked.card!, asked)
  await page.getByRole('button', { name: 'File as reference' }).click()
  await page.getByRole('link', { name: 'Match Customer’s tank' }).click()
  const first = page.getByRole('listbox', { name: 'Candidates' }).getByRole('option').first()
  await first.waitFor()
  const said = await first.getAttribute('aria-label')
  expect(said).toMatch(/^P-0001 Harbour ladder, 4 coats, dE00 \d+[.,]\d ± \d+([.,]\d)?, could be the same/)
  await page.keyboard.press('Enter')
  await page.getByRole('heading', { level: 1, name: 'Harbour ladder' }).waitFor()
})

test('its label is drawn to size, and its QR code says which panel it is', async () => {
  const label = await readLabel(await labelPdf(host))
  expect(label.texts).toEqual(['P-0001'])
  expect(label.widthMm).toBeCloseTo(62, 0)
  expect(Math.abs(label.widthMm - 62)).toBeLessThan(0.2)
  expect(Math.abs(label.heightMm - 29)).toBeLessThan(0.2)
})

test('every change can be undone and done again', async () => {
  const { page } = host
  await goToPlace(page, 'Rack')
  const references = async () => (await host.call('references.list', {})).references.map((one) => one.name)
  expect(await references()).toEqual(['Customer’s tank'])
  await page.getByRole('main').click({ position: { x: 4, y: 4 } })
  await page.keyboard.press('Control+z')
  await page.getByText(/^Undone:/).waitFor()
  expect(await references()).toEqual([])
  await page.keyboard.press('Control+Shift+z')
  await page.getByText(/^Done again:/).waitFor()
  expect(await references()).toEqual(['Customer’s tank'])
})

test('what is no photo is refused in words, and nothing else changes', async () => {
  const { page } = host
  const file = join(host.folder, 'notes.jpg')
  writeFileSync(file, 'Bought two tins of carrier.\n')
  const before = await host.call('rack.describe', {})
  await goToPlace(page, 'Tray')
  await page.locator('input[type=file]').first().setInputFiles(file)
  const outcome = page.getByRole('status', { name: 'What became of the photos' })
  await outcome.getByText('notes.jpg').waitFor()
  expect(await outcome.textContent()).toMatch(/1 photo refused/)
  await outcome.getByRole('button', { name: 'Understood' }).click()
  const after = await host.call('rack.describe', {})
  expect(after.rack).toMatchObject({ panelCount: before.rack!.panelCount, trayCount: before.rack!.trayCount })
})

test.skipIf(!existsSync(join(photos, 'index.json')))('the same with a real photo of a chart', async () => {
  const { page } = host
  for (const name of ['r01_studio_even.jpg', 'r02_studio_folding_chart.jpg'])
    await copyFile(join(photos, name), join(host.folder, name))
  const green = 13 // patch 14, "green"
  const one = chartQuads('r01_studio_even.jpg', [green, 21])
  const other = chartQuads('r02_studio_folding_chart.jpg', [green, 21])
  const code = await writePanel(page, {
    title: 'Chart green',
    ground: 'white',
    formula: 'leaf straight in 6:1 carrier',
    steps: '2',
  })

  await dropIntoTray(page, join(host.folder, 'r01_studio_even.jpg'))
  const size = await photoSize('r01_studio_even.jpg')
  await choosePanel(page, code)
  await declineProposal(page)
  await markCorners(page, 'Mark the panel', one[0]!, size)
  await markCorners(page, 'Grey card', one[1]!, size)
  await page.getByRole('button', { name: `File to ${code}` }).click()
  await page.getByText('Filed, 1 reading.').waitFor()

  await dropIntoTray(page, join(host.folder, 'r02_studio_folding_chart.jpg'))
  const otherSize = await photoSize('r02_studio_folding_chart.jpg')
  await page.getByRole('button', { name: 'A reference to match' }).click()
  await page.getByLabel('Name of the reference').fill('Leaf')
  await declineProposal(page)
  await markCorners(page, 'One area', other[0]!, otherSize)
  await markCorners(page, 'Grey card', other[1]!, otherSize)
  await page.getByRole('button', { name: 'File as reference' }).click()
  await page.getByRole('link', { name: 'Match Leaf' }).click()
  const first = page.getByRole('listbox', { name: 'Candidates' }).getByRole('option').first()
  await first.waitFor()
  expect(await first.getAttribute('aria-label')).toContain(`${code} Chart green, 2 coats`)
})

test('the page complained of nothing', () => {
  expect(host.complaints).toEqual([])
})

async function photoSize(name: string) {
  const { photos: tray } = await host.call('photos.listTray', {})
  const photo = tray.find((one) => one.name === name)!
  return { width: photo.width, height: photo.height }
}

/** Outlines of patches of a 24-patch chart, a little inside their edges. The index gives pixel centres at integers. */
function chartQuads(file: string, patches: readonly number[]): Quad[] {
  const index = JSON.parse(readFileSync(join(photos, 'index.json'), 'utf8')) as {
    photos: { file: string; quad: Quad }[]
  }
  const [a, b, c, d] = index.photos
    .find((one) => one.file === file)!
    .quad.map(([x, y]) => [x + 0.5, y + 0.5] as const) as [
    readonly [number, number],
    readonly [number, number],
    readonly [number, number],
    readonly [number, number],
  ]
  // charts photographed nearly straight: bilinear between the outer corners is within a fraction of a patch
  const at = (u: number, v: number): [number, number] => [
    a[0] * (1 - u) * (1 - v) + b[0] * u * (1 - v) + c[0] * u * v + d[0] * (1 - u) * v,
    a[1] * (1 - u) * (1 - v) + b[1] * u * (1 - v) + c[1] * u * v + d[1] * (1 - u) * v,
  ]
  return patches.map((patch) => {
    const [row, column] = [Math.floor(patch / 6), patch % 6]
    const [u0, u1, v0, v1] = [(column + 0.25) / 6, (column + 0.75) / 6, (row + 0.25) / 4, (row + 0.75) / 4]
    return [at(u0, v0), at(u1, v0), at(u1, v1), at(u0, v1)]
  })
}
