import { execFileSync } from 'node:child_process'
import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { makeBigRack } from '../bench/big-rack/make.ts'
import { type Host, startHost } from './hosts.ts'
import { goToPlace } from './steps.ts'

/** A photo's picture, in a window and in a browser. */
const ofPhoto = /picture(:\/\/local)?\/photo\//

/** From a reference to two panels beside it: type a colour, tighten, pin, compare, and find everything as one left it. */
let host: Host
const panels = 120

beforeAll(async () => {
  host = await startHost()
  await host.page.setViewportSize({ width: 1280, height: 800 })
  const folder = join(host.folder, 'matched')
  mkdirSync(folder)
  await makeBigRack(folder, panels, 3)
  // as root, the window runs as an ordinary user, who has to write here as well
  if (process.getuid?.() === 0) execFileSync('chmod', ['-R', 'a+rwX', folder])
  await host.call('rack.open', { folder })
}, 180_000)
afterAll(async () => host?.stop())

const options = () => host.page.getByRole('listbox', { name: 'Candidates' }).getByRole('option')
const chosen = () => host.page.locator('.match-cand[aria-selected=true]')
const asked = () => host.page.getByRole('group', { name: 'How narrow' }).getByRole('status').innerText()
const rowsAt = () => host.page.locator('.match-rows').evaluate((rows) => rows.scrollTop)

async function typeReference(name: string, lab: readonly [string, string, string]): Promise<void> {
  const { page } = host
  const form = page.getByRole('region', { name: 'Add a reference' })
  await form.getByRole('textbox', { name: 'Name', exact: true }).fill(name)
  for (const [i, label] of ['L', 'a', 'b'].entries())
    await form.getByRole('textbox', { name: label, exact: true }).fill(lab[i]!)
  await form.getByRole('button', { name: 'Add reference' }).click()
  await page.getByRole('heading', { level: 1, name }).waitFor()
  await options().first().waitFor()
}

test('a typed reference stands beside its nearest panels; tightening leaves fewer, and says what it hides', async () => {
  const { page } = host
  await page.getByText(`${panels} panels`).first().waitFor()
  await goToPlace(page, 'Match')
  await typeReference('Left tank', ['40', '25', '20'])
  const all = await options().count()
  expect(all).toBeGreaterThan(10)
  await page.keyboard.press('t')
  await expect.poll(asked).toContain('hidden')
  expect(await asked()).toContain('Within 6')
  expect(await options().count()).toBeLessThan(all)
  const [, left, hidden] = /(\d+) left, (\d+) hidden/.exec(await asked()) ?? []
  expect(await options().count()).toBe(Number(left))
  await page.getByRole('button', { name: 'Show all' }).click()
  await expect.poll(asked).toContain(`${Number(left) + Number(hidden)} steps compared`)
})

test('pinned ones lie beside the reference, touching, and going back finds the list as it was', async () => {
  const { page } = host
  await page.getByRole('listbox', { name: 'Candidates' }).focus()
  await page.keyboard.press('Space')
  for (let i = 0; i < 9; i++) await page.keyboard.press('ArrowDown')
  await page.keyboard.press('Space')
  await page.getByText('2 pinned').waitFor()
  const stood = await chosen().getAttribute('aria-label')
  expect(stood).toContain('pinned')
  await expect.poll(rowsAt).toBeGreaterThan(0)
  // the chosen row grows a moment longer
  await page.waitForTimeout(300)
  const at = await rowsAt()
  await page.getByRole('button', { name: 'Compare side by side' }).click()
  await expect.poll(() => new URL(page.url()).pathname).toMatch(/^\/side\/reference\*.+\/reading\*.+\/reading\*/)
  await page.goBack()
  await options().first().waitFor()
  expect(await chosen().getAttribute('aria-label')).toBe(stood)
  expect(await rowsAt()).toBe(at)
  await page.keyboard.press('Enter')
  await expect.poll(() => new URL(page.url()).pathname).toMatch(/^\/panel\//)
  await goToPlace(page, 'Match')
  await options().first().waitFor()
  expect(await chosen().getAttribute('aria-label')).toBe(stood)
  expect(await rowsAt()).toBe(at)
})

test('a second reference lies beside the first; number keys and a reload lead there', async () => {
  const { page } = host
  await page.getByRole('button', { name: 'Another reference' }).click()
  await typeReference('Right tank', ['45', '20', '25'])
  const table = page.getByRole('navigation', { name: 'References on the table' })
  await table.getByRole('button', { name: '1 Left tank' }).waitFor()
  await page.keyboard.press('1')
  await page.getByRole('heading', { level: 1, name: 'Match to Left tank' }).waitFor()
  await page.keyboard.press('0')
  await page.getByRole('heading', { level: 1, name: 'Near all 2 on the table' }).waitFor()
  await page.getByRole('listbox', { name: 'Near all of them' }).getByRole('option').first().waitFor()
  await page.reload()
  await page.getByRole('heading', { level: 1, name: 'Near all 2 on the table' }).waitFor()
  await table.getByRole('button', { name: '2 Right tank' }).click()
  await page.getByRole('heading', { level: 1, name: 'Match to Right tank' }).waitFor()
  // the maker of long walls keeps no originals of its photos
  expect(host.complaints.filter((words) => !ofPhoto.test(words))).toEqual([])
})
