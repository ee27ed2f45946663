import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type Host, startHost } from './hosts.ts'
import { renderTestPhoto, type TestPhoto } from './scene.ts'
import { dropIntoTray, makeRack, writePanel } from './steps.ts'

/**
 * Side by side: a panel's photographed steps and a typed reference, touching; corrected pictures come as the browser decodes
 * them, in the colours of its screen; keys, the address and a reload.
 */
let host: Host
let photo: TestPhoto
let stepIds: string[]

beforeAll(async () => {
  host = await startHost()
  await host.page.setViewportSize({ width: 1280, height: 800 })
  photo = await renderTestPhoto(join(host.folder, 'harbour.jpg'), {
    dye: 'Rosehip',
    coats: [1, 4],
    space: 'Display P3',
  })
})
afterAll(async () => host?.stop())

const paints = () => host.page.getByRole('listbox', { name: 'Side by side' }).getByRole('option')
const pictures = () => host.page.locator('.side-paint img')
/** Pictures that have come and were decoded. */
const decoded = async (count: number) => {
  await expect
    .poll(
      () =>
        pictures().evaluateAll(
          (images) => (images as HTMLImageElement[]).filter((image) => image.complete && image.naturalWidth > 0).length,
        ),
      { timeout: 20_000 },
    )
    .toBe(count)
}

test('a panel with two photographed steps, and a colour that was typed', async () => {
  await makeRack(host, 'Side wall')
  const key = await writePanel(host.page, {
    title: 'Harbour ladder',
    ground: 'bright silver',
    formula: '4:1 rosehip + ember, in 6:1 carrier, 4 coats',
    steps: '1 4',
  })
  await dropIntoTray(host.page, join(host.folder, 'harbour.jpg'))
  const { panel } = await host.call('panels.get', { key })
  stepIds = panel.steps.map(({ id }) => id!)
  const [waiting] = (await host.call('photos.listTray', {})).photos
  const { readings } = await host.call('photos.file', {
    photoId: waiting!.id,
    panelId: panel.id,
    layout: {
      areas: photo.areas.map((quad, i) => ({ stepId: stepIds[i]!, shape: { kind: 'quad', quad } })),
      card: { quad: photo.card!, lab: { l: 50, a: 0, b: 0 } },
    },
    lightId: null,
    view: 'face',
    stage: 'cleared',
    setupId: null,
    flatPhotoId: null,
    ageDays: null,
  })
  expect(readings).toHaveLength(2)
  await host.call('references.addTyped', {
    name: 'Letter',
    // stronger than any screen's red
    lab: { l: 50, a: 90, b: 80 },
    illuminant: 'D50',
    observer: '2',
    geometry: '45:0',
    bound90: 0.5,
    view: 'face',
    stage: 'cleared',
    lightId: null,
  })
})

test('the steps of a panel are laid side by side from its page, their photos corrected', async () => {
  const { page } = host
  await page.evaluate(() => {
    history.pushState({ depth: 1 }, '', '/panel/P-0001')
    dispatchEvent(new PopStateEvent('popstate'))
  })
  await page.getByRole('button', { name: 'Steps side by side' }).click()
  await decoded(2)
  expect(await paints().count()).toBe(2)
  expect(new URL(page.url()).pathname).toBe(`/side/${stepIds.map((id) => encodeURIComponent(`step*${id}`)).join('/')}`)
  // nothing between them: no gap, no border, no rounding
  const boxes = await paints().evaluateAll((all) =>
    all.map((each) => {
      const { left, right, top, bottom } = each.getBoundingClientRect()
      const { borderWidth, borderRadius, boxShadow } = getComputedStyle(each)
      return { left, right, top, bottom, look: [borderWidth, borderRadius, boxShadow] }
    }),
  )
  expect(boxes[0]!.right).toBe(boxes[1]!.left)
  expect([boxes[0]!.left, boxes[1]!.right]).toEqual([0, 1280])
  for (const { look } of boxes) expect(look).toEqual(['0px', '0px', 'none'])
  const wall = await page.locator('.side').evaluate((side) => getComputedStyle(side).backgroundColor)
  expect(wall).toBe('rgb(119, 119, 119)')
  await page.getByText('Photo, corrected.').first().waitFor()
})

test('places are exchanged and turned by key, and a reload lands there again', async () => {
  const { page } = host
  await page.keyboard.press('Shift+ArrowRight')
  await page.keyboard.press('r')
  const path = new URL(page.url()).pathname
  expect(path).toBe(
    `/side/${stepIds
      .toReversed()
      .map((id) => encodeURIComponent(`step*${id}`))
      .join('/')}/turned*1`,
  )
  await page.reload()
  await decoded(2)
  expect(new URL(page.url()).pathname).toBe(path)
  const [upper, lower] = await paints().evaluateAll((all) => all.map((each) => each.getBoundingClientRect().toJSON()))
  expect(upper.bottom).toBe(lower.top)
})

test('two blink in one place, and stay when they are held', async () => {
  const { page } = host
  await page.keyboard.press('b')
  const seen = () => page.locator('.side-bay[data-seen]').getAttribute('data-place')
  const first = await seen()
  await expect.poll(seen, { timeout: 5000 }).not.toBe(first)
  await page.keyboard.press('h')
  const held = await seen()
  await page.keyboard.press('x')
  expect(await seen()).not.toBe(held)
  await page.keyboard.press('n')
  expect(await page.locator('.side-words').count()).toBe(0)
  await page.keyboard.press('b')
  await page.keyboard.press('n')
})

test('on a screen with Display P3 more is shown, and what no screen shows is marked', async () => {
  const { page } = host
  const { references } = await host.call('references.list', {})
  await page.evaluate((path) => {
    history.pushState({ depth: 1 }, '', path)
    dispatchEvent(new PopStateEvent('popstate'))
  }, `/side/reference*${references[0]!.id}/step*${stepIds[1]}`)
  await decoded(1)
  const usual = await pictures().getAttribute('src')
  expect(await page.locator('.side-name .beyond-sign').count()).toBe(1)
  await page.getByText('drawn as light and in the same hue, less colourful').waitFor()
  const drawn = () =>
    page
      .locator('.side-paint')
      .first()
      .evaluate((paint) => getComputedStyle(paint).backgroundColor)
  expect(await drawn()).toMatch(/^rgb\(/)
  const session = await page.context().newCDPSession(page)
  await session.send('Emulation.setEmulatedMedia', { features: [{ name: 'color-gamut', value: 'p3' }] })
  await expect.poll(drawn).toMatch(/^color\(display-p3/)
  await expect.poll(() => pictures().getAttribute('src')).not.toBe(usual)
  await decoded(1)
  await session.send('Emulation.setEmulatedMedia', { features: [] })
})

test('taken away one by one, down to what to do next; nothing was complained of', async () => {
  const { page } = host
  await page.keyboard.press('Delete')
  await page.getByText('One more makes a pair').waitFor()
  await page.keyboard.press('Delete')
  await page.getByRole('heading', { name: 'Lay colours side by side' }).waitFor()
  await page.getByRole('button', { name: 'Choose on the rack' }).click()
  await page.getByRole('link', { name: /P-0001/ }).waitFor()
  expect(host.complaints).toEqual([])
})
