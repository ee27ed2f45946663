import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { noFilter } from '../../shared-core/records/panel.ts'
import { dropFiles } from './gestures.ts'
import { type Host, startHost } from './hosts.ts'
import { goToPlace, makeRack } from './steps.ts'

/** A painter's notebook, typed up in a spreadsheet, on its way to the wall. */
let host: Host

beforeAll(async () => {
  host = await startHost()
  await host.page.setViewportSize({ width: 1280, height: 800 })
})
afterAll(async () => host?.stop())

const notebook = [
  'No.;Title;Ground;Formula;Coats;Cleared;Date;Notes',
  'A-1;Dusk plum;bright silver;4 Damson : 1 Bracken in 6:1 carrier;2,4,6;y;3/4/2024;fine',
  'A-2;Peat glow;fine gold;Bracken in 6:1 carrier;2 cross;n;5/6/2024;',
  'A-2;again;gold;Bracken;4;;;',
  'A-3;odd one;gold;blobs of red & a bit;4;;;',
].join('\r\n')
const listed = async () => (await host.call('panels.list', { filter: noFilter, sort: 'code' })).panels

test('dropped anywhere on the window, it is looked at, asked about, taken in, and taken out again', async () => {
  const { page } = host
  await makeRack(host, 'Notebook wall')
  const path = join(host.folder, 'my notebook.csv')
  writeFileSync(path, notebook)
  // the tray takes in whatever is dropped on it, but not a table
  await goToPlace(page, 'Tray')
  await dropFiles(page.getByRole('main', { name: 'Tray' }), [path])
  const sheet = page.getByRole('dialog', { name: 'Take in a notebook' })
  await sheet.getByText('What the columns are').waitFor()
  expect(await sheet.getByRole('region', { name: 'Rows to look at' }).innerText()).toContain('2 rows are left out')
  expect(await listed()).toEqual([])

  const take = sheet.getByRole('button', { name: 'Take in 2 panels' })
  expect(await take.getAttribute('aria-disabled')).toBe('true')
  await sheet.getByLabel('Which comes first in dates').selectOption('day-first')
  await sheet.getByLabel('Are parts by volume or by mass').selectOption('volume')
  await expect.poll(() => take.getAttribute('aria-disabled')).toBe('false')
  await sheet.getByRole('button', { name: 'keep as notes' }).click()
  await sheet.getByRole('button', { name: 'take with a new code' }).click()
  await sheet.getByRole('button', { name: 'Take in 4 panels' }).click()
  const done = page.getByRole('dialog', { name: 'The notebook is taken in' })
  await done.getByText('4 panels hang on the rack.').waitFor()
  await done.getByRole('button', { name: 'Show the rack' }).click()
  await page.getByRole('link', { name: /^A-1 Dusk plum/ }).waitFor()
  expect((await listed()).map(({ code, ground, coatsTo }) => [code, ground, coatsTo])).toEqual([
    ['A-1', 'bright silver', 6],
    ['A-2', 'fine gold', 4],
    ['A-3', 'gold', 4],
    ['P-0001', 'gold', 4],
  ])
  const { panel } = await host.call('panels.get', { key: 'A-3' })
  expect(panel.notes).toBe('Formula: blobs of red & a bit')
  expect((await host.call('panels.get', { key: 'A-1' })).panel.sprayedOn).toBe('2024-04-03')

  await page.getByRole('button', { name: 'Undo take in 4 panels of a notebook' }).click()
  await page.getByRole('heading', { name: 'Notebook wall is empty' }).waitFor()
  expect(await listed()).toEqual([])
})

test('another notebook with these headings is understood as the last one was', async () => {
  const { page } = host
  const path = join(host.folder, 'second.csv')
  writeFileSync(
    path,
    `${notebook.split('\r\n')[0]}\r\nB-1;Moss;gold;3 Bracken : 1 Damson in 6:1 carrier;4;y;7/8/2024;\r\n`,
  )
  await page.getByRole('button', { name: 'Take in a notebook' }).click()
  const sheet = page.getByRole('dialog', { name: 'Take in a notebook' })
  await sheet.getByTestId('notebook-file').setInputFiles(path)
  await sheet.getByText('As you chose for the last table with these headings.').waitFor()
  await sheet.getByRole('button', { name: 'Take in 1 panel' }).click()
  await page.getByRole('dialog', { name: 'The notebook is taken in' }).getByRole('button', { name: 'Close' }).click()
  expect((await host.call('panels.get', { key: 'B-1' })).panel.sprayedOn).toBe('2024-08-07')
  expect(host.complaints).toEqual([])
})
