import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type Host, startHost } from './hosts.ts'

/** Everything breaks once: what was saved, and what was typed, is there afterwards. */
let host: Host
beforeAll(async () => {
  host = await startHost()
  await host.call('rack.create', { folder: join(host.folder, 'rack'), name: 'Rack' })
})
afterAll(async () => host?.stop())

const go = async (path: string) => {
  await host.page.evaluate((to) => history.pushState(null, '', to), path)
  await host.page.reload()
}
const kill = async () => process.kill((await host.call('service.describe', {})).pid, 'SIGKILL')
const title = () => host.page.getByLabel('Title')

test('the service ends while a panel is written: the form stays as it was, and is saved afterwards', async () => {
  await go('/panel/new')
  await title().fill('Half a title')
  await kill()
  await host.page.getByText('stopped and was started again').waitFor()
  expect(await title().inputValue()).toBe('Half a title')
  await title().fill('A whole title')
  await host.page.getByRole('button', { name: /^Save P-/ }).click()
  await host.page
    .getByRole('heading', { name: /A whole title/ })
    .first()
    .waitFor()
})

test('a page that is loaded again lands in the same form with what was typed', async () => {
  await go('/panel/new')
  await title().fill('Typed before')
  await host.page.reload()
  await expect.poll(() => title().inputValue(), { timeout: 20_000 }).toBe('Typed before')
  await host.page.getByRole('button', { name: 'Give up changes' }).click()
})

test('a job that runs when the service ends is told, and the service works on', async () => {
  const { jobId } = await host.call('rack.makeDemonstration', { folder: join(host.folder, 'demo') })
  expect(jobId).not.toBe('')
  await kill()
  // until it is started again, calls say so
  const running = async () => {
    const { jobs } = await host.call('jobs.list', {})
    return jobs.filter(({ state }) => state === 'running').length
  }
  await expect.poll(() => running().catch(() => 'stopped'), { timeout: 30_000 }).toBe(0)
  expect((await host.call('rack.describe', {})).rack?.name).toBe('Rack')
})

describe('a window', () => {
  test('whose page ends is loaded again at the same place, with what was typed', async (context) => {
    if (host.kind !== 'window') return context.skip()
    await go('/panel/new')
    await title().fill('Typed before the end')
    const app = host.app!
    await app.evaluate(({ BrowserWindow }) => BrowserWindow.getAllWindows()[0]?.webContents.forcefullyCrashRenderer())
    // the page as it was known is gone for good: the new one is asked through the window that holds it
    const asked = () =>
      app.evaluate(({ BrowserWindow }) =>
        BrowserWindow.getAllWindows()[0]?.webContents.executeJavaScript(
          `location.pathname + ' ' + [...document.querySelectorAll('input, textarea')].map((one) => one.value).join(' ')`,
        ),
      )
    // a question that meets the page just as it ends is never answered: then it is put again
    const later = () => new Promise((resolve) => setTimeout(() => resolve('not yet'), 2_000))
    const shown = () => Promise.race([asked().catch(() => 'not yet'), later()])
    await expect.poll(shown, { timeout: 30_000 }).toMatch(/^\/panel\/new .*Typed before the end/)
  })
})
