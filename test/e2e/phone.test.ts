import { join } from 'node:path'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test, vi } from 'vitest'
import { startBrowser } from './browser.ts'
import { type Host, startHost } from './hosts.ts'
import { renderTestPhoto } from './scene.ts'
import { goToPlace, makeRack } from './steps.ts'

/** A phone beside the desk: a real browser with a phone's screen and touch, at the address that the desk shows. */
let host: Host
let browser: Browser
beforeAll(async () => {
  vi.stubEnv('OVERGROUND_PHONE_LOOPBACK', '1')
  host = await startHost()
  browser = host.page.context().browser() ?? (await startBrowser())
})
afterAll(async () => {
  await browser?.close()
  await host?.stop()
  vi.unstubAllEnvs()
})

const pictures = (phone: Page) => phone.getByRole('region', { name: 'Pictures' }).getByRole('listitem')

test('two pictures go from the phone into the tray, though the connection breaks and the page is loaded again', async () => {
  const { page: desk } = host
  const files = ['front.jpg', 'edge.jpg'].map((name) => join(host.folder, name))
  for (const file of files) await renderTestPhoto(file, { seed: file.slice(-9) })
  await makeRack(host, 'By the booth')
  await goToPlace(desk, 'Tray')
  await desk.getByRole('button', { name: 'From a phone' }).first().click()
  const sheet = desk.getByRole('dialog', { name: 'From a phone' })
  await sheet.getByText('photograph after the booth has purged').waitFor()
  await sheet.getByRole('radio', { name: /127\.0\.0\.1/ }).check()
  await sheet.getByRole('button', { name: 'Turn it on' }).click()
  await sheet.getByRole('img', { name: 'Code for the phone’s camera' }).waitFor()
  const { link } = await host.call('phone.state', {})

  const context = await browser.newContext({
    viewport: { width: 390, height: 844 },
    isMobile: true,
    hasTouch: true,
    userAgent: 'Mozilla/5.0 (Mobile)',
  })
  context.setDefaultTimeout(60_000)
  const refused: string[] = []
  context.on('console', (message) => {
    if (/content security policy/i.test(message.text())) refused.push(message.text())
  })
  context.on('weberror', (error) => refused.push(error.error().message))
  const phone = await context.newPage()
  await phone.goto(link ?? '')
  await phone.getByText('Connected to the computer').waitFor()
  // the code is used up, and stands neither in the address nor on the screen of the desk
  expect(phone.url()).not.toContain('#')
  await sheet.getByText('Phone 1 is connected').waitFor()
  await phone.getByText('Photograph after the booth has purged:').waitFor()

  // of the first picture one piece comes through, then the network is gone
  let passed = 0
  await phone.route('**/piece*', (route) => (passed++ === 0 ? route.continue() : route.abort('connectionreset')))
  await phone.getByLabel('Panel, for the next pictures').fill('P-0001')
  await phone.getByLabel('Choose pictures').setInputFiles(files)
  await phone.getByText('No connection. Trying again …').waitFor()
  await phone.reload()
  await phone.getByText('No connection. Trying again …').waitFor()
  expect(await pictures(phone).count()).toBe(2)
  await phone.unroute('**/piece*')
  await phone.getByRole('heading', { name: '2 arrived' }).waitFor()
  // the last word, once panel and card were looked for
  for (const at of [0, 1])
    await pictures(phone)
      .nth(at)
      .getByText(/^Arrived\. (Good|No grey card|Two lights)/)
      .waitFor()
  const widths = await pictures(phone)
    .locator('img')
    .evaluateAll((all) => all.map((img) => (img as HTMLImageElement).naturalWidth))
  expect(widths).toEqual([
    expect.toSatisfy((width: number) => width > 0),
    expect.toSatisfy((width: number) => width > 0),
  ])

  const came = sheet.getByRole('list', { name: 'Pictures that came in' }).getByRole('listitem')
  expect(await came.count()).toBe(2)
  await sheet.getByRole('button', { name: 'To the tray' }).click()
  const waiting = desk.getByRole('navigation', { name: 'Photos waiting' })
  for (const name of ['front.jpg', 'edge.jpg'])
    await waiting.getByRole('link', { name: new RegExp(`^${name}`) }).waitFor()
  expect((await host.call('rack.describe', {})).rack?.trayCount).toBe(2)

  await desk.getByTitle(/^Pictures can come from a phone/).click()
  await sheet.getByRole('button', { name: 'Turn it off' }).click()
  await sheet.getByRole('button', { name: 'Turn it on' }).waitFor()
  expect(await desk.getByTitle(/^Pictures can come from a phone/).count()).toBe(0)
  expect(refused).toEqual([])
  expect(host.complaints).toEqual([])
})
