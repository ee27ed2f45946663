import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, onTestFinished, test } from 'vitest'
import type { Output } from '../../shared-core/contract/calls.ts'
import { writeTable } from '../../shared-core/exchange/panels-csv/write-table.ts'
import { noNotebookAnswers, usualNotebookChoices } from '../../shared-core/records/notebook.ts'
import { freshFolder } from '../rack/fresh.ts'
import { startService } from './service-process.ts'

test('a service killed while it writes a notebook leaves no panel of it, and takes it in whole the next time', async () => {
  const home = freshFolder()
  const folder = join(home, 'rack')
  const rows = Array.from({ length: 3000 }, (_, i) => [`N-${i}`, 'gold', '4 Damson : 1 Bracken, by volume', '4'])
  const path = join(home, 'notebook.csv')
  writeFileSync(path, writeTable([['Code', 'Ground', 'Formula', 'Coats'], ...rows], ','))
  const asked = {
    path,
    name: 'notebook.csv',
    columns: ['code', 'ground', 'formula', 'coats'],
    answers: noNotebookAnswers,
    choices: usualNotebookChoices,
  }
  const begin = async (make: 'rack.create' | 'rack.open') => {
    const service = startService(home)
    onTestFinished(() => service.kill())
    await service.call(make, { folder, ...(make === 'rack.create' ? { name: 'Test rack' } : {}) })
    const { digest } = (await service.call('panelsCsv.preview', asked)) as Output<'panelsCsv.preview'>
    const { jobId } = (await service.call('panelsCsv.import', { ...asked, digest })) as Output<'panelsCsv.import'>
    return { service, jobId }
  }
  const first = await begin('rack.create')
  const written = () => first.service.jobs.get(first.jobId)?.done ?? 0
  while (written() === 0) await new Promise((resolve) => setTimeout(resolve, 1))
  await first.service.kill()
  expect(first.service.jobs.get(first.jobId)?.state).toBe('running')
  expect(written()).toBeLessThan(3000)

  const second = startService(home)
  onTestFinished(() => second.kill())
  expect(await second.call('rack.open', { folder })).toMatchObject({ panelCount: 0, undo: null })
  await second.leave()

  const third = await begin('rack.open')
  while (third.service.jobs.get(third.jobId)?.state !== 'done') await new Promise((resolve) => setTimeout(resolve, 20))
  expect(await third.service.call('rack.describe', {})).toMatchObject({
    rack: { panelCount: 3000, undo: 'take in 3000 panels of a notebook' },
  })
})
