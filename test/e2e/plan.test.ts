import { PDFiumLibrary } from '@hyzyla/pdfium'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { noFilter } from '../../shared-core/records/panel.ts'
import { candies, grounds, hang, truth } from '../contract/film-rack.ts'
import { type Host, startHost } from './hosts.ts'
import { goToPlace, makeRack, openedPdf } from './steps.ts'

/**
 * What was never sprayed, on a rack of a simulated shop whose paint obeys laws that the film model does not know: the
 * table, a slider, recipes for a colour that no panel shows, panels to spray next, and the paper to spray them from.
 */
let host: Host

beforeAll(async () => {
  host = await startHost()
  await host.page.setViewportSize({ width: 1280, height: 800 })
})
afterAll(async () => host?.stop())

const cell = (name: RegExp) => host.page.getByRole('gridcell', { name })
const tab = (name: string) => host.page.getByRole('tab', { name, exact: true }).click()
const planned = async () =>
  (await host.call('panels.list', { filter: { ...noFilter, status: 'planned' }, sort: 'code' })).panels

test('a rack whose candies were sprayed over two grounds, in two and four coats', async () => {
  await makeRack(host, 'Plan wall')
  for (const ground of grounds) for (const candy of candies) await hang(host, ground, candy, [0, 2, 4])
  await host.call('references.addTyped', {
    name: 'Between two steps',
    lab: truth(grounds[0]!, candies[1]!, 3),
    illuminant: 'D50',
    observer: '2',
    geometry: '45:0',
    bound90: 0.5,
    view: 'face',
    stage: 'cleared',
    lightId: null,
  })
  expect((await host.call('rack.describe', {})).rack).toMatchObject({ panelCount: 4 })
})

test('the table shows what was sprayed beside what is predicted, each with its ±', async () => {
  await goToPlace(host.page, 'Plan')
  const sprayed = cell(new RegExp(`^${grounds[0]}, 2 coats, sprayed: P-\\d{4}, predicted ± \\d`))
  const unsprayed = cell(new RegExp(`^${grounds[0]}, 3 coats, predicted ± \\d`))
  await sprayed.waitFor()
  await unsprayed.waitFor()
  expect([await sprayed.locator('.paint').count(), await unsprayed.locator('.paint').count()]).toEqual([2, 1])
  await cell(new RegExp(`^${grounds[1]}, bare, sprayed: P-\\d{4}, P-\\d{4}, predicted ± \\d`)).waitFor()
})

/** Channels of the predicted paint of a cell, as the browser computed them. */
const channels = async (name: RegExp): Promise<number[]> => {
  const paint = cell(name).locator('.paint').last()
  const said = await paint.evaluate((element) => getComputedStyle(element).backgroundColor)
  return [...said.matchAll(/\d*\.?\d+(?:e-?\d+)?/g)].map(([number]) => Number(number))
}

test('more carrier makes the predicted colour lighter, and what was sprayed is another formula then', async () => {
  const { page } = host
  const three = new RegExp(`^${grounds[0]}, 3 coats, predicted`)
  const before = await channels(three)
  const slider = page.getByRole('slider', { name: 'Carrier to 1 of blend' })
  for (let k = 0; k < 5; k++) await slider.press('ArrowRight')
  await cell(new RegExp(`^${grounds[0]}, 2 coats, predicted ± \\d`)).waitFor()
  await expect.poll(async () => (await channels(three)).join()).not.toBe(before.join())
  const sum = (all: readonly number[]) => all.slice(-3).reduce((a, b) => a + b, 0)
  expect(sum(await channels(three))).toBeGreaterThan(sum(before))
})

test('a recipe is suggested for a colour that no panel shows, and sets the sliders', async () => {
  const { page } = host
  await tab('Suggest')
  await page.getByRole('combobox', { name: /^Suggest for/ }).selectOption('Between two steps')
  const first = page.getByRole('region', { name: 'Suggest for a reference' }).getByRole('listitem').first()
  await first.waitFor()
  const difference = Number(
    /^(\d+)[.,](\d)/
      .exec((await first.locator('.lead').textContent()) ?? '')
      ?.slice(1)
      .join('.'),
  )
  expect(difference).toBeLessThan(2)
  const name = (await first.getAttribute('aria-label'))!
  await first.getByRole('button', { name: 'Set the sliders' }).click()
  await page.getByText('The sliders are set.').waitFor()
  const shown = page.getByRole('gridcell', { selected: true })
  const ground = grounds.find((one) => name.includes(`over ${one}`))!
  expect(await shown.getAttribute('aria-label')).toMatch(new RegExp(`^${ground}, `))
})

test('the panels that teach most are put on the list, and their paper is drawn', async () => {
  const { page } = host
  await tab('Next')
  await page.getByRole('button', { name: 'For the whole rack' }).click()
  const next = page.getByRole('region', { name: 'What to spray next' })
  await next.getByRole('listitem').first().waitFor()
  const count = await next.getByRole('listitem').count()
  await next.getByRole('button', { name: /^Put (all \d+|it) on the list$/ }).click()
  const list = page.getByRole('region', { name: 'The list' })
  await list.getByRole('heading', { name: `The list, ${count} to spray` }).waitFor()
  const codes = (await planned()).map(({ code }) => code)
  expect(codes).toHaveLength(count)
  await list.getByRole('button', { name: 'Print a spray list' }).click()
  const sheet = page.getByRole('dialog', { name: 'Print a spray list' })
  const pdf = await openedPdf(host, () => sheet.getByRole('button', { name: /PDF to print$/ }).click())
  const library = await PDFiumLibrary.init()
  const document = await library.loadDocument(pdf)
  const { originalWidth, originalHeight } = document.getPage(0).getOriginalSize()
  // ISO 216: A4 is 210 × 297 mm; ANSI/ASME Y14.1: Letter is 8.5 × 11 in. Which one, the system's language says
  const inches = [originalWidth, originalHeight].map((points) => (points / 72).toFixed(1))
  expect([
    [(210 / 25.4).toFixed(1), (297 / 25.4).toFixed(1)],
    ['8.5', '11.0'],
  ]).toContainEqual(inches)
  const text = [...document.pages()].map((each) => each.getText()).join('\n')
  for (const code of codes) expect(text).toContain(code)
  document.destroy()
  library.destroy()
})

test('one undo takes them off the list again', async () => {
  const { page } = host
  const sheet = page.getByRole('dialog', { name: 'Print a spray list' })
  if (await sheet.isVisible()) await sheet.getByRole('button', { name: 'Close' }).click()
  await page.getByRole('heading', { level: 1 }).click()
  await page.keyboard.press('Control+z')
  await page.getByText(/^Undone:/).waitFor()
  expect(await planned()).toEqual([])
})

test('the page complained of nothing', () => {
  expect(host.complaints).toEqual([])
})
