import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { draft } from '../rack/fresh.ts'
import { type Host, startHost } from './hosts.ts'
import { goToPlace, makeRack, typeOver } from './steps.ts'

/** A rack goes into one file, another takes it in, and a third place opens it. */
let host: Host

beforeAll(async () => {
  host = await startHost()
  await host.page.setViewportSize({ width: 1280, height: 800 })
})
afterAll(async () => host?.stop())

test('one rack as a file, taken into another after a look, taken back, and opened by itself', async () => {
  const { page } = host
  await makeRack(host, 'North wall')
  await host.call('panels.save', { draft: draft({ title: 'Dusk plum' }) })
  await host.call('panels.save', { draft: draft({ title: 'Kept as it is', code: 'K-1' }) })
  const target = join(host.folder, 'north.overground.zip')
  const { jobId } = await host.call('archive.make', { target, replace: false, history: true })
  await page.getByText('and was read back: every checksum holds').waitFor()
  await page.getByRole('button', { name: 'Understood' }).click()
  expect((await host.call('jobs.list', {})).jobs.find(({ id }) => id === jobId)?.state).toBe('done')

  await host.call('rack.create', { folder: join(host.folder, 'south'), name: 'South wall' })
  await page.getByText('South wall', { exact: true }).waitFor()
  await host.call('panels.save', { draft: draft({ title: 'Ours' }) })
  await goToPlace(page, 'Settings')
  await page.getByRole('link', { name: 'Safe keeping' }).click()
  await page.getByRole('link', { name: 'Archive and exchange' }).click()
  await page.getByLabel('Archive, or folder of a rack').fill(target)
  await page.getByRole('button', { name: 'Look what it has' }).click()
  await page.getByText('“North wall” has 2 panels that are not here.').waitFor()
  await page.getByText('comes in as P-0002: P-0001 is taken').waitFor()
  await page.getByRole('button', { name: 'Take in 2 panels' }).click()
  await page.getByText('“North wall” is taken in.').waitFor()
  expect((await host.call('rack.describe', {})).rack?.panelCount).toBe(3)
  await page
    .getByLabel('What was taken in')
    .getByRole('button', { name: /^Undo take in 2 panels/ })
    .click()
  await page.getByRole('button', { name: 'Look what it has' }).waitFor()
  await expect.poll(async () => (await host.call('rack.describe', {})).rack?.panelCount).toBe(1)

  await page.getByText('Taking in “North wall” was undone.').waitFor()

  // a path and two presses of Enter look inside, and do no more
  const opening = page.getByRole('region', { name: 'Open an archive' })
  await opening.getByLabel('Archive (.overground.zip)').fill(target)
  await page.keyboard.press('Enter')
  await opening.getByText('2 panels, 0 photos').waitFor()
  await page.keyboard.press('Enter')
  expect((await host.call('rack.describe', {})).rack?.name).toBe('South wall')
  await typeOver(opening.getByLabel('New folder for the rack'), join(host.folder, 'unpacked'))
  await opening.getByRole('button', { name: 'Unpack and open' }).click()
  await page.getByText(/lies in .*unpacked and is open: 2 panels, 0 photos/).waitFor()
  expect((await host.call('panels.get', { key: 'K-1' })).panel.title).toBe('Kept as it is')
  expect(host.complaints).toEqual([])
})
