import { cpSync, existsSync, mkdirSync, readFileSync, rmSync, statSync } from 'node:fs'
import { join } from 'node:path'
import { noFilter } from '../../../shared-core/records/panel.ts'
import type { Settings } from '../../../shared-core/records/settings.ts'
import { filesBelow, hashOf, inCopy, unsoundness } from '../kit/inspect.ts'
import type { PhotoFile } from '../kit/many-photos.ts'
import type { Act } from '../kit/shop.ts'
import { openIn, settled } from '../kit/shop-service.ts'
import { jobOutcome, type Outcome, outcomeOf, type World } from './world.ts'

/** One thing that fills a drive. It is tried on a full drive, and then once more with room. */
export type Way = {
  name: string
  /** Up to so many bytes are free when it is tried. */
  upTo: number
  begin: (world: World) => Promise<{
    attempt: () => Promise<Outcome>
    /** What is wrong after a try, in words. */
    look: (outcome: Outcome) => Promise<string[]> | string[]
  }>
}

const asAct = (world: World, act: Act) => ({
  attempt: () => outcomeOf(world.shop.perform(act, world.service.call)),
  look: () => [],
})

const edit: Way = { name: 'edit', upTo: 300_000, begin: async (world) => asAct(world, world.shop.edit()) }
const add: Way = { name: 'new panel', upTo: 300_000, begin: async (world) => asAct(world, world.shop.add()) }
const bulk: Way = { name: 'bulk edit', upTo: 600_000, begin: async (world) => asAct(world, world.shop.tagMany()) }
const undo: Way = {
  name: 'undo',
  upTo: 300_000,
  begin: async (world) => {
    await world.shop.perform(world.shop.tagMany(), world.service.call)
    return asAct(world, world.shop.undo())
  },
}

const intake: Way = {
  name: 'intake',
  upTo: 900_000,
  begin: async (world) => {
    const files = world.photos(6, 96)
    return {
      attempt: () =>
        jobOutcome(world.service, 'photos.takeIn', { files: files.map(({ path, name }) => ({ path, name })) }),
      look: (outcome) => lookAtPhotos(world, files, outcome),
    }
  },
}

/** Photos are in the rack with their originals, or they are not: never a row without its file. */
function lookAtPhotos(world: World, files: readonly PhotoFile[], outcome: Outcome): string[] {
  const rows = inCopy(world.place.rack, (raw) => raw.prepare('select sha256 from photo').pluck().all()) as string[]
  const wrong: string[] = []
  for (const sha256 of rows) {
    const path = join(world.place.rack, 'photos', sha256.slice(0, 2), `${sha256}.jpg`)
    if (!existsSync(path) || hashOf(path) !== sha256) wrong.push(`the original ${sha256} is not whole`)
  }
  const missing = files.filter(({ sha256 }) => !rows.includes(sha256))
  if (outcome.done && missing.length > 0) wrong.push(`${missing.length} photos were taken in and are not there`)
  if (new Set(rows).size < rows.length) wrong.push('a photo is there twice')
  return wrong
}

const backup: Way = {
  name: 'backup',
  upTo: 1_500_000,
  begin: async ({ service }) => ({ attempt: () => jobOutcome(service, 'backups.make', {}), look: () => [] }),
}

const reopening: Way = {
  name: 'closing and opening',
  upTo: 400_000,
  begin: async (world) => {
    const { service, place } = world
    await world.shop.perform(world.shop.edit(), service.call)
    let isFirst = true
    return {
      attempt: async () => {
        if (isFirst) {
          isFirst = false
          const closed = await outcomeOf(service.call('rack.close', {}))
          if (!closed.done) return closed
        }
        return outcomeOf(
          openIn(service, place).then(({ cautions }) => {
            const [caution] = cautions ?? []
            if (caution) throw Object.assign(new Error(caution.message), { code: caution.code })
          }),
        )
      },
      look: () => [],
    }
  },
}

const migration = (old: () => string): Way => ({
  name: 'migration',
  upTo: 3_000_000,
  begin: async ({ service, drive, place }) => {
    const folder = join(drive.folder, 'old rack')
    rmSync(folder, { recursive: true, force: true })
    cpSync(old(), folder, { recursive: true })
    await service.call('rack.close', {})
    const panels = () => inCopy(folder, (raw) => raw.prepare('select count(*) from panel').pluck().get())
    const before = panels()
    return {
      attempt: () => outcomeOf(service.call('rack.open', { folder })),
      look: async (outcome) => {
        const wrong = inCopy(folder, unsoundness)
        if (panels() !== before) wrong.push('panels of the old rack are gone')
        if (outcome.done) {
          await service.call('rack.close', {})
          rmSync(folder, { recursive: true, force: true })
          await openIn(service, place)
        }
        return wrong
      },
    }
  },
})

const creation: Way = {
  name: 'a new rack',
  upTo: 900_000,
  begin: async ({ service, drive, place }) => {
    const folder = join(drive.folder, 'new rack')
    rmSync(folder, { recursive: true, force: true })
    return {
      attempt: () => outcomeOf(service.call('rack.create', { folder, name: 'New' })),
      look: async (outcome) => {
        if (outcome.done) {
          await service.call('rack.close', {})
          rmSync(folder, { recursive: true, force: true })
          await openIn(service, place)
        }
        return []
      },
    }
  },
}

const settings: Way = {
  name: 'settings',
  upTo: 12_000,
  begin: async ({ service, place, random }) => {
    const { settings: before } = (await service.call('settings.get', {})) as { settings: Settings }
    const wanted = { ...before, painter: `Wren ${random.int(1e9)}` }
    return {
      attempt: () => outcomeOf(service.call('settings.save', { settings: wanted })),
      look: async (outcome) => {
        const { settings: now } = (await service.call('settings.get', {})) as { settings: Settings }
        const kept = join(place.home, 'settings.json')
        const onDisk = existsSync(kept) ? (JSON.parse(readFileSync(kept, 'utf8')) as Settings).painter : ''
        const should = outcome.done ? wanted.painter : before.painter
        return now.painter === should && onDisk === should ? [] : [`settings say ${now.painter}, their file ${onDisk}`]
      },
    }
  },
}

const picture: Way = {
  name: 'a small picture',
  upTo: 12_000,
  begin: async (world) => {
    const { service, place } = world
    const row = inCopy(place.rack, (raw) => raw.prepare('select sha256 from photo limit 1').pluck().get())
    const sha256 = typeof row === 'string' ? row : ''
    if (sha256 === '') throw new Error('There is no photo to make a picture of.')
    rmSync(join(place.rack, 'renditions'), { recursive: true, force: true })
    return {
      attempt: () =>
        outcomeOf(
          service.call('pictures.locate', { key: `photo/${sha256}/view` }).then((located) => {
            const { path } = located as { path: string }
            if (statSync(path).size < 100) throw new Error(`${path} is empty`)
          }),
        ),
      look: () => [],
    }
  },
}

const document: Way = {
  name: 'a document',
  upTo: 60_000,
  begin: async ({ service, place }) => {
    const folder = join(place.home, 'documents')
    const before = filesBelow(folder).length
    const wanted = {
      kind: 'index',
      panelIds: null,
      filter: noFilter,
      sort: 'code',
      groupByGround: false,
      paper: { widthMm: 210, heightMm: 297 },
      columns: 4,
      shows: ['title', 'formula'],
      wording: { decimal: 'point', units: 'metric' },
    }
    return {
      attempt: () => jobOutcome(service, 'sheets.drawIndex', { wanted }),
      look: ({ done }) => {
        const made = filesBelow(folder).length - before
        rmSync(folder, { recursive: true, force: true })
        mkdirSync(folder)
        return made === (done ? 1 : 0) ? [] : [`${made} files among the documents`]
      },
    }
  },
}

/** Where a drive is full before anything begins, that is told with how much is wanted. */
const archive: Way = {
  name: 'an archive',
  upTo: 1_200_000,
  begin: async ({ service, drive }) => {
    const target = join(drive.folder, 'rack.overground.zip')
    return {
      attempt: () => jobOutcome(service, 'archive.make', { target, replace: false, history: true }),
      look: (outcome) => {
        const there = filesBelow(drive.folder).filter((name) => !name.includes('/') && name !== 'filler')
        const wanted = outcome.done ? ['rack.overground.zip'] : []
        const wrong = there.join() === wanted.join() ? [] : [`beside the rack lies ${there.join(', ') || 'nothing'}`]
        if (outcome.done) rmSync(target, { force: true })
        return wrong
      },
    }
  },
}

const secondPlace: Way = {
  name: 'a copy in a second place',
  upTo: 900_000,
  begin: async ({ service, drive, random, photos, shop }) => {
    const folder = join(drive.folder, `second-${random.int(1e9)}`)
    mkdirSync(folder)
    await service.call('secondPlace.choose', { folder })
    await settled(service)
    const files = photos(4, 96).map(({ path, name }) => ({ path, name }))
    await service.call('photos.takeIn', { files })
    await settled(service)
    shop.forgetHistory()
    return {
      attempt: () => jobOutcome(service, 'secondPlace.copyNow', {}),
      look: async (outcome) => {
        const wrong = wrongCopies(folder)
        if (!outcome.done) return wrong
        await service.call('secondPlace.choose', { folder: null })
        rmSync(folder, { recursive: true, force: true })
        return wrong
      },
    }
  },
}

/** In the second place, too, a file is there whole or not at all. */
const wrongCopies = (folder: string): string[] =>
  filesBelow(folder)
    .filter((name) => /\/[0-9a-f]{64}\.jpg$/.test(name))
    .filter((name) => hashOf(join(folder, name)) !== name.slice(-68, -4))
    .map((name) => `${name} in the second place is not whole`)

export const waysOf = (old: () => string): readonly Way[] => [
  edit,
  intake,
  undo,
  backup,
  reopening,
  migration(old),
  bulk,
  add,
  creation,
  settings,
  picture,
  document,
  archive,
  secondPlace,
]
