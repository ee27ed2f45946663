import { chmodSync, mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { draft } from '../rack/fresh.ts'
import { type Host, startHost } from './hosts.ts'
import { goToPlace, makeRack } from './steps.ts'

/** A painter backs up, keeps a second copy, spoils something, and goes back. */
let host: Host

beforeAll(async () => {
  host = await startHost()
  await host.page.setViewportSize({ width: 1280, height: 800 })
})
afterAll(async () => host?.stop())

test('backed up, copied to a second place, gone back to, with the panels named first', async () => {
  const { page } = host
  await makeRack(host, 'North wall')
  const { panel } = await host.call('panels.save', { draft: draft({ title: 'Dusk plum' }) })
  await goToPlace(page, 'Settings')
  await page.getByRole('link', { name: 'Safe keeping' }).click()
  const safe = page.getByRole('region', { name: 'What is safe' })
  await safe.getByRole('button', { name: 'Back up now' }).click()
  await safe.getByText(/The last whole backup is from today .*: 1 panel, 0 readings, 0 photos\./).waitFor()
  await page.getByText('The backup is whole: 1 panel, 0 readings, 0 photos.').waitFor()

  const disk = join(host.folder, 'disk')
  mkdirSync(disk)
  // in a window the application may be another user than this test
  chmodSync(disk, 0o777)
  const second = page.getByRole('region', { name: 'Second place' })
  await second.getByLabel('Folder on another disk, or a synced one').fill(disk)
  await second.getByRole('button', { name: 'Keep copies there' }).click()
  await second.getByText(/^Everything was there today/).waitFor()
  await second.getByText('It lies on the same disk as the rack.').waitFor()

  await host.call('panels.remove', { panelId: panel.id })
  await host.call('panels.save', { draft: draft({ title: 'Spoilt' }) })
  const list = page.getByRole('region', { name: 'Backups of this rack' })
  await list.getByText('whole, compared byte by byte').waitFor()
  await list.getByRole('button', { name: /made by hand, would change$/ }).click()
  const dialog = page.getByRole('dialog', { name: 'Go back to a backup' })
  await dialog.getByText(`${panel.code} Dusk plum`).waitFor()
  expect(await dialog.innerText()).toContain('1 panel would no longer hang there: P-0002 Spoilt')
  await dialog.getByRole('button', { name: /^Go back to today/ }).click()
  await page.getByText('What was there before is kept among the backups.').waitFor()
  expect((await host.call('panels.get', { key: panel.code })).panel.title).toBe('Dusk plum')
  expect((await host.call('rack.describe', {})).rack?.panelCount).toBe(1)
  // and the page stands where it stood, with one more to go forward to
  await list.getByText('before going back to a backup').waitFor()
  expect(host.complaints).toEqual([])
})
