import { existsSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { noFilter } from '../../../shared-core/records/panel.ts'
import { type Host, startHost } from '../../e2e/hosts.ts'
import { makeBigRack } from '../big-rack/make.ts'

const [panels, calls] = [10_000, 120]
const built = fileURLToPath(new URL('../../../out/main/loopback.js', import.meta.url))

/**
 * A search as a window asks for it, against a call that does nothing, in turns: 24 nearest of 100,000 readings, each time from
 * another reading and with the next of some filters.
 * @param rack  a big rack that is there; it is opened, not changed
 */
export async function wholeCall(rack?: string): Promise<void> {
  if (!existsSync(built)) throw new Error('The application is not built: npm run build')
  const made = rack === undefined ? mkdtempSync(join(tmpdir(), 'big-rack-')) : null
  const folder = rack ?? made!
  if (made) await makeBigRack(made, panels, 1)
  const host = await startHost()
  try {
    await host.call('rack.open', { folder })
    const { considered, empty, search, first } = await measure(host)
    const text = (ms: number) => `${ms.toFixed(1)} ms`
    console.log(
      `match.findNearest from a window, ${considered} steps let through by the last filter: ${text(median(search))}, ` +
        `an empty call ${text(median(empty))}, ${(median(search) / median(empty)).toFixed(1)} times; the first search ${text(first)}`,
    )
  } finally {
    await host.stop()
    if (made) rmSync(made, { recursive: true, force: true })
  }
}

async function measure(host: Host) {
  const { panels: some } = await host.call('panels.list', { filter: noFilter, sort: 'hue', limit: calls })
  const references: string[] = []
  for (const { id } of some.slice(0, 30))
    references.push(...(await host.call('panels.get', { key: id })).readings.map((reading) => reading.id))
  const { grounds, candies, tags } = await host.call('panels.listWords', {})
  const filters = [
    { ...noFilter, grounds: grounds.slice(0, 1) },
    { ...noFilter, candies: candies.slice(0, 2) },
    { ...noFilter, tags: tags.slice(0, 2), cleared: true },
    { ...noFilter, grounds: grounds.slice(1, 3), candies: candies.slice(3, 5) },
  ]
  return host.page.evaluate(
    async ({ ids, asked, count }) => {
      const token = sessionStorage.getItem('overground-token') ?? ''
      const call = async (name: string, input: unknown) => {
        const from = performance.now()
        const body = JSON.stringify(input)
        const response = await fetch(`/call/${name}`, { method: 'POST', headers: { 'x-token': token }, body })
        const reply = (await response.json()) as { ok: boolean; value: { considered: number } }
        if (!reply.ok) throw new Error(`${name} was refused`)
        return { ms: performance.now() - from, value: reply.value }
      }
      const readings = { view: null, lightId: null }
      const find = (at: number) =>
        call('match.findNearest', {
          to: { readingId: ids[(at * 17) % ids.length] },
          filter: asked[at % asked.length],
          readings,
          limit: 24,
        })
      const first = (await find(0)).ms
      for (let at = 0; at < 20; at++) {
        await find(at)
        await call('jobs.list', {})
      }
      const [empty, search]: [number[], number[]] = [[], []]
      let considered = 0
      for (let at = 0; at < count; at++) {
        empty.push((await call('jobs.list', {})).ms)
        const found = await find(at)
        search.push(found.ms)
        considered = found.value.considered
      }
      return { first, empty, search, considered }
    },
    { ids: references, asked: filters, count: calls },
  )
}

const median = (values: readonly number[]): number => values.toSorted((a, b) => a - b)[values.length >> 1]!
