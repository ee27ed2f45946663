import { chmodSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { draft } from '../rack/fresh.ts'
import { type Host, startHost } from './hosts.ts'
import { makeRack, typeOver } from './steps.ts'

/** A rack on a card whose lock is on: it is looked at, copied, and worked on in the copy. */
let host: Host

beforeAll(async () => {
  host = await startHost()
  await host.page.setViewportSize({ width: 1280, height: 800 })
})
afterAll(async () => host?.stop())

test('a rack where nothing can be written is looked at, and copied to this computer', async () => {
  const { page, folder } = host
  await makeRack(host, 'North wall')
  await host.call('panels.save', { draft: draft({ title: 'Dusk plum' }) })
  await host.call('rack.close', {})
  await page.getByRole('heading', { name: 'Start with a rack' }).waitFor()
  const rack = join(folder, 'rack')
  chmodSync(rack, 0o555)
  await page
    .getByRole('button', { name: /North wall/ })
    .first()
    .click()
  const how = page.getByRole('region', { name: 'How this rack is open' })
  await how.getByText('Nothing can be written where it lies.').waitFor()
  await page.getByText('Dusk plum').waitFor()
  // what would change it says why it cannot
  const newPanel = page.getByRole('button', { name: 'New panel' })
  expect(await newPanel.getAttribute('aria-disabled')).toBe('true')
  expect(await newPanel.getAttribute('title')).toContain('This rack is only being looked at.')

  await how.getByRole('button', { name: 'Copy it to this computer' }).click()
  const dialog = page.getByRole('dialog', { name: 'Copy it to this computer' })
  await typeOver(dialog.getByLabel('Where the copy is to live'), join(folder, 'own'))
  await dialog.getByRole('button', { name: 'Copy the rack' }).click()
  await page.getByText(/The rack lies in .*own now, with 0 photos/).waitFor()
  chmodSync(rack, 0o755)
  expect((await host.call('rack.describe', {})).rack).toMatchObject({
    folder: join(folder, 'own'),
    access: { mode: 'full' },
    panelCount: 1,
  })
  expect(await how.count()).toBe(0)
  await host.call('panels.save', { draft: draft({ title: 'Spruce' }) })
  await page.getByText('Spruce').waitFor()
  expect(host.complaints).toEqual([])
})
