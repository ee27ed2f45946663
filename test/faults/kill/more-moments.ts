import { chmodSync, copyFileSync, existsSync, mkdirSync, readdirSync, rmSync, statSync, truncateSync } from 'node:fs'
import { join } from 'node:path'
import { createRack } from '../../../electron/rack/opening/open.ts'
import { savePanel } from '../../../electron/rack/queries/panels.ts'
import { allParts, usualRules } from '../../../shared-core/records/archive.ts'
import { newDraft } from '../kit/drafts.ts'
import { filesBelow } from '../kit/inspect.ts'
import { ended } from '../kit/shop-service.ts'
import type { Life } from './life.ts'
import type { Moment } from './moments.ts'

/** Another rack with panels of its own. @returns their ids */
async function otherRack(folder: string, life: Life): Promise<Set<string>> {
  const rack = await createRack(folder, 'Another')
  try {
    const ids = new Set<string>()
    await rack.change({ label: 'spray' }, async (change) => {
      for (let i = 0; i < 10; i++) {
        const draft = { ...newDraft(life.random, `Theirs ${life.random.int(1e9)}`), code: `X-${life.random.int(1e9)}` }
        ids.add(await savePanel(change, draft))
      }
    })
    return ids
  } finally {
    await rack.close()
  }
}

const job = async (life: Life, name: string, input: unknown) => {
  const { jobId } = (await life.service.call(name, input)) as { jobId: string }
  const done = await ended(life.service, jobId)
  if (done.state !== 'done') throw new Error(`${name}: ${done.error?.code ?? done.state}: ${done.error?.message ?? ''}`)
}

export const merging: Moment = {
  name: 'merge, and its undo',
  withinMs: 900,
  prepare: async (life) => {
    const folder = join(life.place.desk, `other-${life.random.int(1e9)}`)
    life.merging = { folder, ids: await otherRack(folder, life) }
    life.shop.forgetHistory()
  },
  work: async (life) => {
    for (;;) {
      await job(life, 'archive.compare', { path: life.merging?.folder })
      const { comparison } = (await life.service.call('archive.comparison', {})) as {
        comparison: { id: string } | null
      }
      const asked = { comparisonId: comparison?.id, rules: usualRules, choices: {}, parts: allParts }
      await job(life, 'archive.mergeIn', asked)
      await life.service.call('history.undo', {})
    }
  },
}

/** Originals are lost, and found again in another folder. */
export const relinking: Moment = {
  name: 'relinking lost originals',
  withinMs: 900,
  prepare: async (life) => {
    const found = join(life.place.desk, 'found')
    mkdirSync(found, { recursive: true })
    const photos = join(life.place.rack, 'photos')
    life.relinking = found
    for (const name of filesBelow(photos).slice(0, 8)) {
      const from = join(photos, name)
      copyFileSync(from, join(found, `${readdirSync(found).length} found again.jpg`))
      chmodSync(from, 0o644)
      rmSync(from)
    }
    await job(life, 'check.start', {})
  },
  work: async (life) => {
    await job(life, 'check.relink', { paths: [life.relinking] })
    for (;;) await life.service.call('panels.listWords', {})
  },
}

/** A rack whose database was cut, and that is put right. */
export const repairing: Moment = {
  name: 'repair of a cut database',
  withinMs: 1500,
  prepare: async (life) => {
    const { place, service } = life
    await job(life, 'backups.make', {})
    await service.call('rack.close', {})
    const path = join(place.rack, 'rack.sqlite')
    truncateSync(path, Math.floor(statSync(path).size * (0.2 + 0.6 * life.random.float())))
    life.repairing = true
  },
  work: async (life) => {
    await repaired(life)
    for (;;) await life.service.call('panels.listWords', {})
  },
}

/** Repairs as the painter does who takes what is offered; the newest backup where somebody has to choose. */
export async function repaired(life: Life): Promise<void> {
  const folder = life.place.rack
  await job(life, 'check.repair', { folder, from: null })
  const { rack } = (await life.service.call('rack.describe', {})) as { rack: unknown }
  if (rack === null) await job(life, 'check.repair', { folder, from: 'backup' })
}

/** What was cut short is done again, and then nothing is missing. @returns what is wrong */
export async function relinkAgain(life: Life): Promise<string[]> {
  if (life.relinking === null) return []
  await job(life, 'check.start', {})
  await job(life, 'check.relink', { paths: [life.relinking] }).catch((error: { code?: string }) => {
    if (error.code !== 'check/nothing-missing') throw error
  })
  const db = (await life.service.call('photos.listTray', {})) as { photos: { sha256: string }[] }
  return db.photos.flatMap(({ sha256 }) =>
    existsSync(join(life.place.rack, 'photos', sha256.slice(0, 2), `${sha256}.jpg`))
      ? []
      : [`the original ${sha256} was found again and is not there`],
  )
}
