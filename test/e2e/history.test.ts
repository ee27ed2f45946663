import { afterAll, beforeAll, expect, test } from 'vitest'
import { type Host, startHost } from './hosts.ts'
import { makeRack } from './steps.ts'

/** A panel was changed by mistake: its history tells what, shows how it stood, and brings it back. */
let host: Host

beforeAll(async () => {
  host = await startHost()
  await host.page.setViewportSize({ width: 1280, height: 800 })
})
afterAll(async () => host?.stop())

const draft = {
  id: null,
  code: null,
  title: 'Damson over gold',
  status: 'sprayed' as const,
  sprayedOn: null,
  sprayedBy: 'Wren',
  substrate: 'steel',
  notes: '',
  tags: ['boat'],
  layers: [],
  steps: [{ id: null, coats: 2, notes: '' }],
}

test('a panel is looked at as it stood, and restored by keys', async () => {
  const { page } = host
  await makeRack(host, 'Past')
  const { panel } = await host.call('panels.save', { draft })
  await host.call('panels.save', { draft: { ...panel, title: 'wrong', tags: [] } })
  await page
    .getByRole('button', { name: /^P-0001/ })
    .or(page.getByRole('link', { name: /^P-0001/ }))
    .first()
    .click()
  await page.getByRole('heading', { level: 1, name: 'wrong' }).waitFor()
  await page.getByText('Changed last').waitFor()
  await page.keyboard.press('h')
  const list = page.getByRole('list', { name: 'Changes, newest first' })
  await list.getByRole('button', { name: /Changed panel P-0001/ }).waitFor()
  await page.getByRole('row', { name: /Title Damson over gold wrong/ }).waitFor()
  await page.keyboard.press('ArrowDown')
  await page.getByRole('heading', { name: 'Added panel P-0001' }).waitFor()
  await page.keyboard.press('v')
  const restore = page.getByRole('button', { name: 'Restore P-0001 as it stood then' })
  await page.getByRole('row', { name: /Title Damson over gold wrong/ }).waitFor()
  await restore.waitFor()
  await page.keyboard.press('r')
  await page.getByText('P-0001 is restored.').waitFor()
  await page.getByText('It stands like that now').waitFor()
  expect((await host.call('panels.get', { key: 'P-0001' })).panel).toEqual(panel)
  // the address names the entry, and back leads to the panel
  await page.reload()
  await page.getByRole('heading', { name: 'Added panel P-0001' }).waitFor()
  await page.getByRole('button', { name: /^Undo restore panel P-0001/ }).click()
  await list.getByText(/taken back/).waitFor()
  expect((await host.call('panels.get', { key: 'P-0001' })).panel.title).toBe('wrong')
  expect(host.complaints).toEqual([])
})
