import { mkdirSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterEach, expect, test, vi } from 'vitest'
import { createRack } from '../../electron/rack/opening/open.ts'
import { noFilter } from '../../shared-core/records/panel.ts'
import { everything } from '../rack/everything.ts'
import { draft, freshFolder } from '../rack/fresh.ts'
import { benchService } from './bench-service.ts'

afterEach(() => void vi.restoreAllMocks())

async function closedRack(): Promise<string> {
  const folder = join(freshFolder(), 'rack')
  await (await createRack(folder, 'Wanted')).close()
  return folder
}

function alter(folder: string, statement: string): void {
  const raw = new Database(join(folder, 'rack.sqlite'))
  raw.pragma('journal_mode = DELETE')
  raw.exec(statement)
  raw.close()
}

const spoilt: Record<string, (folder: string) => void> = {
  'rack/newer': (folder) => alter(folder, 'pragma user_version = 999'),
  'rack/not-a-rack': (folder) => alter(folder, 'pragma application_id = 7'),
  'rack/damaged': (folder) => {
    writeFileSync(join(folder, 'backups', 'rack-x.sqlite'), '')
    writeFileSync(join(folder, 'rack.sqlite'), 'x'.repeat(5000))
  },
}

test.each(Object.keys(spoilt))(
  '%s: said in its own words, nothing changes, and the rack that is open stays so',
  async (code) => {
    const { call, refusal, events } = await benchService()
    const own = join(freshFolder(), 'own')
    await call('rack.create', { folder: own, name: 'Own' })
    await call('panels.save', { draft: draft() })
    const folder = await closedRack()
    spoilt[code]?.(folder)
    const before = everything(folder)
    const error = await refusal('rack.open', { folder })
    expect(error).toMatchObject({ code, message: expect.stringContaining(folder) })
    expect(error.remedy).not.toBe('')
    expect(everything(folder)).toEqual(before)
    expect(await call('rack.describe', {})).toMatchObject({ rack: { folder: own } })
    expect((await call('panels.list', { filter: noFilter, sort: 'code' })).total).toBe(1)
    expect(events.map(({ name }) => name)).not.toContain('rack.closed')
  },
)

test('no two of these messages are alike', async () => {
  const { refusal } = await benchService()
  const said = []
  for (const spoil of Object.values(spoilt)) {
    const folder = await closedRack()
    spoil(folder)
    const { message, remedy } = await refusal('rack.open', { folder })
    said.push(message.replaceAll(folder, ''), remedy)
  }
  expect(new Set(said).size).toBe(said.length)
})

test('a rack that cannot be left as it should does not keep the next one from being opened', async () => {
  vi.spyOn(console, 'error').mockImplementation(() => undefined)
  const { call } = await benchService()
  const first = join(freshFolder(), 'first')
  await call('rack.create', { folder: first, name: 'First' })
  await call('panels.save', { draft: draft() })
  // its drive answers with errors from now on
  rmSync(join(first, 'lock'))
  mkdirSync(join(first, 'lock'))
  const second = await closedRack()
  expect(await call('rack.open', { folder: second })).toMatchObject({ folder: second, panelCount: 0 })
  // and once the drive is back the first is opened again
  rmSync(join(first, 'lock'), { recursive: true })
  expect(await call('rack.open', { folder: first })).toMatchObject({ folder: first, panelCount: 1 })
})

test('a rack is open also when the list of recent ones cannot be written', async () => {
  const said = vi.spyOn(console, 'error').mockImplementation(() => undefined)
  const { call, context } = await benchService()
  // a file cannot take the place of a folder
  mkdirSync(join(context.appFiles.folder, 'recent-racks.json', 'x'), { recursive: true })
  const folder = await closedRack()
  expect(await call('rack.open', { folder })).toMatchObject({ folder })
  expect(await call('rack.describe', {})).toMatchObject({ rack: { folder } })
  await context.log.settled()
  expect(said).toHaveBeenCalledTimes(1)
})
