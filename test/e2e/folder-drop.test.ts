import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { manySmall } from '../bench/intake/many-small.ts'
import { dropFiles } from './gestures.ts'
import { type Host, startHost } from './hosts.ts'
import { goToPlace, makeRack } from './steps.ts'

/** A folder from a season of photographing, with what else lies in it, dropped whole on the tray. */
let host: Host

beforeAll(async () => {
  host = await startHost()
})
afterAll(async () => host?.stop())

const waiting = () => host.page.getByRole('navigation', { name: 'Photos waiting' })

test('its photos come into the tray, the rest is named by its reason, and what systems put there is passed over', async () => {
  await makeRack(host, 'Season')
  const season = join(host.folder, 'season')
  mkdirSync(join(season, 'June'), { recursive: true })
  await manySmall(season, 60)
  for (let i = 0; i < 20; i++) writeFileSync(join(season, 'June', `notes ${i}.txt`), `thinner by the door ${i}`)
  writeFileSync(join(season, 'June', 'empty.jpg'), '')
  for (const hidden of ['.DS_Store', 'June/Thumbs.db']) writeFileSync(join(season, hidden), 'x')
  await goToPlace(host.page, 'Tray')
  await dropFiles(host.page.getByRole('main', { name: 'Tray' }), [season])
  const outcome = host.page.getByRole('status', { name: 'What became of the photos' })
  // said in passing while the photos are still taken in
  await host.page.getByText('2 hidden or system files were left out.').waitFor()
  await outcome.getByRole('heading', { name: '60 photos taken in, 21 photos refused' }).waitFor()
  await outcome.getByText('20 files: This file is not a photo that can be read').waitFor()
  await outcome.getByText('Which 20').click()
  await outcome.getByText('notes 19.txt').scrollIntoViewIfNeeded()
  await outcome.getByRole('button', { name: 'Understood' }).click()
  expect((await host.call('rack.describe', {})).rack).toMatchObject({ trayCount: 60, undo: 'take in 60 photos' })
})

test('of the photos that wait the first are drawn, in the order of their names; the last when one goes there', async () => {
  await waiting().getByRole('heading', { name: '60 waiting' }).waitFor()
  await waiting()
    .getByRole('link', { name: /^IMG_0000\.jpg/ })
    .waitFor()
  expect(await waiting().getByRole('link').count()).toBeLessThan(30)
  // whichever was taken in first lies on the desk; which photo comes before is known once the first lies there
  await waiting()
    .getByRole('link', { name: /^IMG_0000\.jpg/ })
    .click()
  await host.page.getByLabel('IMG_0000.jpg: mark the panel and the grey card').waitFor()
  await host.page.keyboard.press('PageUp')
  const last = waiting().getByRole('link', { name: /^IMG_0059\.jpg/ })
  await last.waitFor()
  // its small picture has come
  await host.page.waitForFunction(
    (img) => (img as HTMLImageElement).naturalWidth > 0,
    await last.locator('img').elementHandle(),
  )
  expect(host.complaints).toEqual([])
})
