import { mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { originalPath } from '../../../electron/rack/disk/photo-store.ts'
import { type Context, openContext } from '../../../electron/service/context.ts'
import { dispatch } from '../../../electron/service/dispatch.ts'
import { handlers } from '../../../electron/service/handlers/all.ts'
import type { Settings } from '../../../shared-core/records/settings.ts'
import { type Experiment, type Findings, type Options, pause } from '../kit/experiment.ts'
import { filesBelow } from '../kit/inspect.ts'
import { photoSupply } from '../kit/many-photos.ts'
import { record, type Step, undurable } from './recorder.ts'

export const order: Experiment = {
  name: 'order',
  what: 'against a power cut: bytes are on the drive before a file gets its name, and names before rows count on them',
  count: 60,
  minutes: 3,
  run: ordering,
}

/**
 * A power cut cannot be made here without a device of its own. What can be shown is the order in which things are asked of the
 * file system, on which everything after a power cut rests. SQLite's own writes are SQLite's promise (WAL, synchronous =
 * FULL), which test/rack looks up.
 */
async function ordering({ count }: Options): Promise<Findings> {
  const folder = mkdtempSync(join(tmpdir(), 'overground-order-'))
  const recorder = record()
  const { steps } = recorder
  const broken: string[] = []
  const counted = { originals: 0, backups: 0, settings: 0, racks: 0 }
  let context: Context | null = null
  try {
    const rackFolder = join(folder, 'rack')
    mkdirSync(join(folder, 'home'))
    context = await openContext(join(folder, 'home'), () => undefined)
    const call = async (name: string, input: unknown): Promise<unknown> => {
      const reply = await dispatch(name, input, context as Context, handlers)
      if (!reply.ok) throw new Error(`${name}: ${reply.error.code}: ${reply.error.message}`)
      return reply.value
    }
    const rest = async () => {
      for (;;) {
        const { jobs } = (await call('jobs.list', {})) as { jobs: { state: string }[] }
        if (jobs.every(({ state }) => state !== 'running')) return
        await pause(10)
      }
    }
    await call('rack.create', { folder: rackFolder, name: 'In order' })
    broken.push(...undurable(steps, join(rackFolder, 'rack.sqlite')))
    counted.racks++

    const rack = context.rack()
    const seen = new Set<string>()
    const change = rack.change.bind(rack)
    Object.assign(rack, {
      change: async (...given: Parameters<typeof change>) => {
        const begin = steps.push({ what: 'begin', path: '' } satisfies Step) - 1
        const value = await change(...given)
        const photos = await rack.db.selectFrom('photo').select(['sha256', 'format']).execute()
        for (const { sha256 } of photos.filter((photo) => !seen.has(photo.sha256))) {
          seen.add(sha256)
          counted.originals++
          broken.push(...undurable(steps, originalPath(rackFolder, sha256, 'jpeg'), begin))
        }
        return value
      },
    })
    const supply = await photoSupply(join(folder, 'photos'))
    await call('photos.takeIn', { files: supply(count).map(({ path, name }) => ({ path, name })) })
    await rest()
    if (counted.originals < count) broken.push(`only ${counted.originals} of ${count} photos came in`)

    await call('backups.make', {})
    await rest()
    for (const name of filesBelow(join(rackFolder, 'backups')).filter((each) => each.endsWith('.sqlite'))) {
      broken.push(...undurable(steps, join(rackFolder, 'backups', name)))
      counted.backups++
    }
    const { settings } = (await call('settings.get', {})) as { settings: Settings }
    await call('settings.save', { settings: { ...settings, painter: 'Wren' } })
    broken.push(...undurable(steps, join(folder, 'home', 'settings.json')))
    counted.settings++
  } finally {
    await context?.close()
    recorder.stop()
    rmSync(folder, { recursive: true, force: true, maxRetries: 3 })
  }
  return {
    figures: {
      'originals that were durable before their rows': counted.originals,
      'backups, racks, settings that were durable before they were told of':
        counted.backups + counted.racks + counted.settings,
      'steps looked at': steps.length,
      'promises broken': broken.length,
    },
    broken,
  }
}
