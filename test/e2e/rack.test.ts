import { execFileSync } from 'node:child_process'
import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { noFilter } from '../../shared-core/records/panel.ts'
import { makeBigRack } from '../bench/big-rack/make.ts'
import { type Host, startHost } from './hosts.ts'

/** A photo's picture, in a window and in a browser. */
const ofPhoto = /picture(:\/\/local)?\/photo\//

/** A long wall: places come back, pictures come, a frame reaches over what is not in the page, many are changed with one undo. */
const panels = 1200
let host: Host

beforeAll(async () => {
  host = await startHost()
  await host.page.setViewportSize({ width: 1280, height: 800 })
  const folder = join(host.folder, 'long-wall')
  mkdirSync(folder)
  await makeBigRack(folder, panels, 7)
  // as root, the window runs as an ordinary user, who has to write here as well
  if (process.getuid?.() === 0) execFileSync('chmod', ['-R', 'a+rwX', folder])
  await host.call('rack.open', { folder })
}, 180_000)
afterAll(async () => host?.stop())

const card = (index: number) => host.page.locator(`.rack-card[data-index="${index}"]`)
const wallTop = () => host.page.locator('.rack-wall').evaluate((wall) => wall.scrollTop)
/** And lets two frames be drawn. */
const scrollTo = (share: number) =>
  host.page.locator('.rack-wall').evaluate(async (wall, at) => {
    wall.scrollTop = (wall.scrollHeight - wall.clientHeight) * at
    for (let frame = 0; frame < 2; frame++) await new Promise((resolve) => requestAnimationFrame(resolve))
  }, share)
const chosenSaid = () => host.page.locator('.rack-chosen [role=status]').innerText()
/** Index of the first panel whose rail begins in sight. */
const firstInSight = () =>
  host.page.evaluate(() => {
    const { top } = document.querySelector('.rack-wall')!.getBoundingClientRect()
    const seen = [...document.querySelectorAll<HTMLElement>('.rack-card')].find(
      (one) => one.getBoundingClientRect().top >= top,
    )
    return Number(seen!.dataset.index)
  })

test('the wall says how many hang there and keeps only rails near the sight in the page', async () => {
  const { page } = host
  await page.getByText(`${panels} panels`).first().waitFor()
  await card(0).and(page.locator('[aria-busy=false]')).waitFor()
  const rails = Number(await page.getByRole('grid', { name: 'Panels' }).getAttribute('aria-rowcount'))
  expect(rails).toBe(Math.ceil(panels / 9))
  expect(await page.locator('.rack-card').count()).toBeLessThan(100)
})

test('far down, readings’ colours and then pictures are there', async () => {
  const { page } = host
  await scrollTo(0.7)
  const index = await firstInSight()
  expect(index).toBeGreaterThan(panels / 2)
  await card(index).and(page.locator('[aria-busy=false]')).waitFor()
  const band = card(index).locator('.rack-band').first()
  const painted = await band.evaluate((element) => getComputedStyle(element).backgroundColor)
  expect(painted).toMatch(/^(rgb|color)\((?!0, 0, 0, 0)/)
  await page.waitForFunction((at) => {
    const pictures = [...document.querySelectorAll<HTMLImageElement>(`.rack-card[data-index="${at}"] img`)]
    return pictures.length > 0 && pictures.every((picture) => picture.complete && picture.naturalWidth > 0)
  }, index)
  expect(host.complaints).toEqual([])
})

test('place, focus and choice come back from a panel and after a reload', async () => {
  const { page } = host
  const index = await firstInSight()
  await card(index).click({ modifiers: ['Control'] })
  const id = await card(index + 1).getAttribute('data-panel')
  await card(index + 1).focus()
  const before = await wallTop()
  await page.keyboard.press('Enter')
  await page.getByRole('heading', { level: 1 }).waitFor()
  await page.goBack()
  await card(index + 1).waitFor()
  expect(await wallTop()).toBe(before)
  expect(await page.evaluate(() => (document.activeElement as HTMLElement).dataset.panel)).toBe(id)
  expect(await chosenSaid()).toBe('1 panel chosen')

  await page.reload()
  await card(index + 1).waitFor()
  expect(Math.abs((await wallTop()) - before)).toBeLessThanOrEqual(1)
  expect(await chosenSaid()).toBe('1 panel chosen')
  await page.keyboard.press('Escape')
})

test('another size of card leaves the same panel in sight', async () => {
  const { page } = host
  const index = await firstInSight()
  await page.getByLabel('Size').fill('160')
  await card(index).waitFor()
  expect(await page.getByRole('grid', { name: 'Panels' }).getAttribute('aria-colcount')).toBe('6')
  await page.getByLabel('Size').fill('96')
  await card(index).waitFor()
})

test('a frame dragged below the wall runs on and chooses panels that are not in the page', async () => {
  const { page } = host
  await scrollTo(0)
  await card(1).waitFor()
  const box = (await page.locator('.rack-wall').boundingBox())!
  const paint = (await card(1).locator('.rack-paint').boundingBox())!
  await page.mouse.move(paint.x - 4, paint.y + 10)
  await page.mouse.down()
  await page.mouse.move(paint.x + 180, box.y + box.height - 20)
  await page.mouse.move(paint.x + 180, box.y + box.height + 40)
  await page.waitForFunction(() => document.querySelector('.rack-wall')!.scrollTop > 3000)
  await page.mouse.move(paint.x + 180, box.y + box.height / 2)
  await page.mouse.up()
  const count = Number(/^\d+/.exec(await chosenSaid())![0])
  // two columns, rail by rail
  expect(count % 2).toBe(0)
  expect(count).toBeGreaterThanOrEqual(20)
  await scrollTo(0)
  await card(0).waitFor()
  const marked = await Promise.all([0, 1, 2, 3, 10, 11].map((at) => card(at).getAttribute('class')))
  expect(marked.map((names) => names!.includes('is-chosen'))).toEqual([false, true, true, false, true, true])
})

test('what is chosen is tagged at once, and one Undo takes it back', async () => {
  const { page } = host
  const count = Number(/^\d+/.exec(await chosenSaid())![0])
  const tagged = async () =>
    (await host.call('panels.list', { filter: { ...noFilter, tags: ['for the show'] }, sort: 'code' })).panels
  await page.keyboard.press('e')
  await page.getByLabel('Put on').fill('for the show')
  await page.keyboard.press('Enter')
  await page.getByRole('button', { name: `Change ${count} panels` }).click()
  await page.getByText(`${count} panels: “for the show” put on.`).waitFor()
  expect(await tagged()).toHaveLength(count)
  await page.keyboard.press('Control+z')
  await expect.poll(async () => (await tagged()).length).toBe(0)
  await page.getByRole('button', { name: /^Redo/ }).waitFor()
  await page.keyboard.press('Control+Shift+z')
  await expect.poll(async () => (await tagged()).length).toBe(count)
})

test('words narrow, also mistyped, and the choice stays', async () => {
  const { page } = host
  const count = Number(/^\d+/.exec(await chosenSaid())![0])
  await page.keyboard.press('/')
  await page.keyboard.type('helmt')
  await page.getByText('Nothing is called “helmt”').waitFor()
  const shown = Number(/^\d+/.exec(await page.locator('.rack-sentence [role=status]').innerText())![0])
  expect(shown).toBeGreaterThan(0)
  expect(shown).toBeLessThan(panels)
  expect(await chosenSaid()).toMatch(new RegExp(`^${count} panels chosen, \\d+ not shown$`))
  await page.getByRole('button', { name: 'Search for “helmt” as typed' }).click()
  await page.getByRole('heading', { name: 'No panel has' }).waitFor()
  await page.locator('.rack-nothing').getByRole('button').click()
  await card(0).waitFor()
  expect(await chosenSaid()).toBe(`${count} panels chosen`)
})

test('a search is saved, chosen and removed by keys alone', async () => {
  const { page } = host
  await page.locator('.rack-wall').evaluate(() => (document.activeElement as HTMLElement).blur())
  await page.getByLabel('Grouped by').selectOption('hue')
  await page.getByText('Red', { exact: true }).first().waitFor()
  await page.getByLabel('Grouped by').blur()
  await page.keyboard.press('s')
  await page.getByLabel('Save it as').focus()
  await page.keyboard.type('By hue')
  await page.keyboard.press('Enter')
  await page.getByText('Saved as “By hue”.').waitFor()
  await page.keyboard.press('Escape')
  await page.getByLabel('Grouped by').selectOption('none')
  await page.getByLabel('Grouped by').blur()
  await page.keyboard.press('s')
  // the sheet opens on the first search
  const search = page.getByRole('dialog').getByRole('button', { name: /^By hue/ })
  const hasFocus = () => expect.poll(() => search.evaluate((button) => button === document.activeElement)).toBe(true)
  await hasFocus()
  await page.keyboard.press('Enter')
  await page.getByText('Red', { exact: true }).first().waitFor()
  expect(await page.getByLabel('Grouped by').inputValue()).toBe('hue')
  await page.keyboard.press('s')
  await hasFocus()
  // past Rename to Remove
  for (const key of ['Tab', 'Tab', 'Enter']) await page.keyboard.press(key)
  await page.getByText('The search “By hue” is removed.').waitFor()
  await page.getByText('None yet.').waitFor()
  await page.keyboard.press('Escape')
})

test('the colour map keeps the choice', async () => {
  const { page } = host
  const said = await chosenSaid()
  await page.keyboard.press('m')
  await page.getByRole('button', { name: 'Colour map', pressed: true }).waitFor()
  await page.locator('.rack-wall').waitFor({ state: 'detached' })
  expect(await chosenSaid()).toBe(said)
  await page.keyboard.press('m')
  await page.locator('.rack-wall').waitFor()
  // the photos' originals are not in a rack that was made: the panel that was opened lacks them
  expect(host.complaints.filter((text) => !ofPhoto.test(text))).toEqual([])
})
