import { createHash } from 'node:crypto'
import { readdirSync, readFileSync } from 'node:fs'
import { basename, join } from 'node:path'
import { expect, onTestFinished, test } from 'vitest'
import { serviceClient } from '../../electron/service/link/client.ts'
import { nodeService } from '../../electron/service/link/node-child.ts'
import type { CallName, Event, Input, Output } from '../../shared-core/contract/calls.ts'
import { freshFolder, photoFile } from '../rack/fresh.ts'

const entry = new URL('../../electron/service/main.ts', import.meta.url)

test('a service killed in the middle of an intake is started again, opens its rack and goes on, and its host says so', async () => {
  const home = freshFolder()
  process.env.OVERGROUND_HOME = home
  onTestFinished(() => void delete process.env.OVERGROUND_HOME)
  const events: Event[] = []
  const client = serviceClient(nodeService(process.execPath, entry), (event) => void events.push(event))
  onTestFinished(() => client.stop())
  const call = async <N extends CallName>(name: N, input: Input<N>): Promise<Output<N>> => {
    const reply = await client.call(name, input)
    if (!reply.ok) throw new Error(`${name}: ${reply.error.code} ${reply.error.message}`)
    return reply.value as Output<N>
  }
  const until = async (isSo: () => boolean | Promise<boolean>) => {
    while (!(await isSo())) await new Promise((resolve) => setTimeout(resolve, 10))
  }
  const items = () => events.flatMap((event) => (event.name === 'job.progressed' ? event.data.items : []))

  const folder = join(home, 'rack')
  await call('rack.create', { folder, name: 'Restarted' })
  const files = []
  for (let i = 0; i < 60; i++)
    files.push({ path: await photoFile(join(home, `${i}.jpg`), i + 1, 600, 450), name: `${i}.jpg` })
  const { jobId } = await call('photos.takeIn', { files })
  // the first is told at once, the others some at a time
  await until(() => items().length > 0)
  const [killed, acknowledged] = [client.pid() ?? 0, items()]
  process.kill(killed, 'SIGKILL')
  await until(() => events.some(({ name }) => name === 'service.restarted'))
  expect(events.find(({ name }) => name === 'service.restarted')).toMatchObject({
    data: { rackReopened: true, why: expect.stringContaining('SIGKILL') },
  })
  expect(client.pid()).not.toBe(killed)
  expect(JSON.parse(readFileSync(join(folder, 'lock'), 'utf8'))).toMatchObject({ pid: client.pid() })

  // nobody asks for it: the intake is under way again
  await until(async () => (await call('jobs.list', {})).jobs.some(({ id, state }) => id === jobId && state === 'done'))
  const { photos } = await call('photos.listTray', {})
  expect(photos).toHaveLength(60)
  for (const { photoId } of acknowledged) expect(photos.map(({ id }) => id)).toContain(photoId)
  expect((await call('rack.describe', {})).rack).toMatchObject({ undo: 'take in 60 photos', trayCount: 60 })
  const originals = readdirSync(join(folder, 'photos'), { recursive: true, withFileTypes: true })
    .filter((each) => each.isFile())
    .map((each) => join(each.parentPath, each.name))
  expect(originals).toHaveLength(60)
  for (const path of originals)
    expect(basename(path)).toBe(`${createHash('sha256').update(readFileSync(path)).digest('hex')}.jpg`)
  // and the whole of it is still one step
  await call('history.undo', {})
  expect((await call('photos.listTray', {})).photos).toEqual([])
})
