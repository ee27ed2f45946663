import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { expect, onTestFinished, test } from 'vitest'
import type { Output } from '../../shared-core/contract/calls.ts'
import type { PanelDraft } from '../../shared-core/records/panel.ts'
import { type ServiceProcess, startService } from '../faults/service-process.ts'
import { draft, freshFolder } from '../rack/fresh.ts'

/** Undo, redo and a panel's past in a service that is another process each time; once the one before was killed. */

test('undo and redo go on where the service before left off, also after it was killed', async () => {
  const home = freshFolder()
  const folder = join(home, 'rack')
  mkdirSync(join(home, 'app'))
  let service: ServiceProcess | undefined
  onTestFinished(async () => service?.kill())
  const start = async (first = false) => {
    service = startService(join(home, 'app'))
    await service.call(first ? 'rack.create' : 'rack.open', first ? { folder, name: 'Again' } : { folder })
    return service.call
  }
  const titles = async (call: ServiceProcess['call']): Promise<string[]> => {
    const filter = { words: '', grounds: [], candies: [], tags: [], cleared: null, status: null }
    const { panels } = (await call('panels.list', { filter, sort: 'code' })) as Output<'panels.list'>
    return panels.map(({ title }) => title)
  }
  const save = async (call: ServiceProcess['call'], said: PanelDraft) =>
    ((await call('panels.save', { draft: said })) as Output<'panels.save'>).panel

  let call = await start(true)
  const panel = await save(call, draft({ title: 'first' }))
  await save(call, { ...panel, title: 'second' })
  await save(call, { ...panel, title: 'third' })
  await service?.leave()

  call = await start()
  expect(await call('history.undo', {})).toEqual({ label: 'change panel P-0001' })
  expect(await titles(call)).toEqual(['second'])
  await service?.kill()

  call = await start()
  expect(await titles(call)).toEqual(['second'])
  expect(await call('history.redo', {})).toEqual({ label: 'change panel P-0001' })
  expect(await titles(call)).toEqual(['third'])
  for (let i = 0; i < 3; i++) await call('history.undo', {})
  expect(await titles(call)).toEqual([])
  // left behind by another change, it is still known how the panel stood
  await save(call, draft({ title: 'other' }))
  const { entries } = (await call('history.list', { panelId: panel.id, limit: 10 })) as Output<'history.list'>
  expect(entries.map(({ leftBehind }) => leftBehind)).toEqual([true, true, true])
  await call('history.restorePanel', { panelId: panel.id, changeId: entries[1]?.id, keepLater: false })
  expect((await titles(call)).toSorted()).toEqual(['other', 'second'])
  await call('history.undo', {})
  expect(await titles(call)).toEqual(['other'])
  await service?.leave()
})
