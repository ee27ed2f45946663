import { readFileSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import type { Host } from '../../e2e/hosts.ts'

/** Milliseconds, the longest of each. */
export type Scrolled = {
  /** Between two frames of the page. */
  frame: number
  /** A task of the page's main thread, by Chromium's own trace: from beginning to end, and its own work without waiting for a core. */
  task: number
  work: number
  /** A card in sight of which nothing is shown yet. */
  blank: number
  /** Between two frames of an empty page as tall. */
  empty: number
  /** How many different cards came by. */
  cards: number
}

const seconds = 20

/** Scrolls the wall of the rack that is open from top to bottom, evenly, and then an empty page. */
export async function scrollThrough(host: Host, folder: string): Promise<Scrolled> {
  const { page } = host
  await page.evaluate(() => document.querySelector('.rack-wall')?.scrollTo(0, 0))
  await page.waitForTimeout(1500)
  const path = join(folder, `trace-${Date.now()}.json`)
  const browser = page.context().browser()
  await browser?.startTracing(page, { path, categories: ['toplevel', 'devtools.timeline'] })
  const { frame, blank, cards } = await page.evaluate(through, { seconds, selector: '.rack-wall' })
  await browser?.stopTracing()
  const { task, work } = longestTasks(path)
  rmSync(path)

  const blankPage = await page.context().newPage()
  await blankPage.setContent(
    '<div id="tall" style="height: 100vh; overflow: auto"><div style="height: 400000px"></div></div>',
  )
  const { frame: empty } = await blankPage.evaluate(through, { seconds: seconds / 4, selector: '#tall' })
  await blankPage.close()
  return { frame, blank, task, work, empty, cards }
}

/** Runs in the page. */
async function through({ seconds: over, selector }: { seconds: number; selector: string }) {
  const wall = document.querySelector<HTMLElement>(selector)
  if (!wall) throw new Error(`Nothing to scroll: ${selector}`)
  const range = wall.scrollHeight - wall.clientHeight
  const busy = new Map<string, number>()
  const seen = new Set<string>()
  let [frame, blank] = [0, 0]
  const began = performance.now()
  let before = began
  await new Promise<void>((resolve) => {
    const step = (now: number) => {
      frame = Math.max(frame, now - before)
      before = now
      const { top, bottom } = wall.getBoundingClientRect()
      const still = new Set<string>()
      for (const card of wall.querySelectorAll<HTMLElement>('.rack-card')) {
        const box = card.getBoundingClientRect()
        if (box.bottom <= top || box.top >= bottom) continue
        const id = card.dataset.panel ?? ''
        seen.add(id)
        if (card.getAttribute('aria-busy') !== 'true') continue
        still.add(id)
        if (!busy.has(id)) busy.set(id, now)
        blank = Math.max(blank, now - (busy.get(id) ?? now))
      }
      for (const [id, since] of busy) {
        if (still.has(id)) continue
        blank = Math.max(blank, now - since)
        busy.delete(id)
      }
      const share = (now - began) / (over * 1000)
      wall.scrollTop = range * Math.min(1, share)
      if (share >= 1) resolve()
      else requestAnimationFrame(step)
    }
    requestAnimationFrame(step)
  })
  return { frame, blank, cards: seen.size }
}

type TraceEvent = {
  name: string
  ph: string
  dur?: number
  tdur?: number
  pid: number
  tid: number
  args?: { name?: string }
}

function longestTasks(path: string): { task: number; work: number } {
  const { traceEvents } = JSON.parse(readFileSync(path, 'utf8')) as { traceEvents: TraceEvent[] }
  const threads = new Set(
    traceEvents
      .filter(({ name, args }) => name === 'thread_name' && args?.name === 'CrRendererMain')
      .map(({ pid, tid }) => `${pid} ${tid}`),
  )
  const tasks = traceEvents.filter(
    ({ name, ph, pid, tid }) => ph === 'X' && name.endsWith('RunTask') && threads.has(`${pid} ${tid}`),
  )
  if (tasks.length === 0) throw new Error('The trace holds no task of the page')
  let [task, work] = [0, 0]
  for (const { dur = 0, tdur = 0 } of tasks) {
    task = Math.max(task, dur / 1000)
    work = Math.max(work, tdur / 1000)
  }
  return { task, work }
}
