import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { middleOf } from '../../shared-core/capture/geometry.ts'
import { differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import { type Host, startHost } from './hosts.ts'
import { renderTestPhoto, type TestPhoto } from './scene.ts'
import { dropIntoTray, makeRack, markCorners } from './steps.ts'

/** A colour is taken at a point of a photo in the tray, looked up, and kept as a reference. */
let host: Host
let drawn: TestPhoto

beforeAll(async () => {
  host = await startHost()
  await host.page.setViewportSize({ width: 1280, height: 800 })
  drawn = await renderTestPhoto(join(host.folder, 'tank.jpg'), { dye: 'Halyard', coats: [1, 2, 4], seed: 'point' })
})
afterAll(async () => host?.stop())

const heading = (page: Page) => page.getByRole('heading', { level: 1, name: /a point in tank\.jpg/ })

test('any point of a photo in the tray is matched and kept', async () => {
  const { page } = host
  await makeRack(host, 'Points')
  await dropIntoTray(page, join(host.folder, 'tank.jpg'))
  await markCorners(page, 'Grey card', drawn.card!, drawn)
  await page.keyboard.press('k')
  await page.getByRole('heading', { level: 1, name: 'Take a colour in tank.jpg' }).waitFor()
  const photo = page.getByRole('application', { name: /^tank\.jpg/ })
  await page.keyboard.press('Escape')
  // back where one came from
  await page.getByRole('toolbar', { name: 'Marking' }).getByRole('button', { name: 'Take a colour here' }).click()
  const box = (await photo.boundingBox())!
  const [x, y] = middleOf(drawn.areas[1]!)
  const at = [box.x + (x / drawn.width) * box.width, box.y + (y / drawn.height) * box.height] as const
  await page.mouse.move(...at)
  await page.mouse.click(...at)
  await heading(page).waitFor()
  await page.reload()
  await heading(page).waitFor()

  await page.getByRole('button', { name: 'Keep as reference' }).click()
  await page.getByLabel('Name of the reference').fill('Tank, second step')
  await page.getByRole('button', { name: 'Keep it' }).click()
  await page.getByRole('heading', { level: 1, name: 'Match to Tank, second step' }).waitFor()
  const { references } = await host.call('references.list', {})
  expect(references.map(({ name }) => name)).toEqual(['Tank, second step'])
  const [reading] = references[0]!.readings
  expect(differenceCiede2000(reading!.lab, drawn.truth[1]!)).toBeLessThan(reading!.bound90)
  expect((await host.call('photos.listTray', {})).photos.map(({ name }) => name)).toEqual(['tank.jpg'])
})
