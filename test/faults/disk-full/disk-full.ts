import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { randomOf } from '../fuzz/random.ts'
import { oldRacks } from '../kill/old-racks.ts'
import { clock, type Experiment, type Findings, type Options, wordsOf } from '../kit/experiment.ts'
import { inCopy, leftovers, unsoundness, wrongBackups, wrongOriginals } from '../kit/inspect.ts'
import { photoSupply } from '../kit/many-photos.ts'
import { difference, panelsIn, Shop } from '../kit/shop.ts'
import { begin, openIn, placeIn, settled } from '../kit/shop-service.ts'
import { type SmallDrive, smallDrive } from '../kit/small-drive.ts'
import { type Way, waysOf } from './ways.ts'
import type { Outcome, World } from './world.ts'

export const diskFull: Experiment = {
  name: 'disk-full',
  what: 'the drive fills up at a random byte while something is written; then there is room again, without a restart',
  count: 140,
  minutes: 12,
  run: filling,
}

/** What a full drive is told as. */
const full = ['rack/disk-full', 'archive/no-room', 'second-place/full']
const driveBytes = 48 * 1024 * 1024
/** The drive would fill with what was done to it. */
const casesOfAWorld = 28

async function filling(options: Options): Promise<Findings> {
  const { seed, count, say } = options
  const random = randomOf(seed, 'disk-full')
  const isOver = clock(options)
  const folder = mkdtempSync(join(tmpdir(), 'overground-full-'))
  const broken: string[] = []
  const told = { cases: 0, refused: 0, fitted: 0 }
  const byWay = new Map<string, { refused: number; fitted: number }>()
  let world: World | null = null
  const mounted: SmallDrive[] = []
  try {
    const probe = smallDrive(join(folder, 'probe'), 1024 * 1024)
    if (!probe) return { figures: { cases: 0 }, broken, notShown: 'a drive of its own cannot be mounted here' }
    probe.remove()
    const old = await oldRacks(join(folder, 'old'), 60)
    const ways = waysOf(() => random.pick(old))
    const photos = await photoSupply(join(folder, 'photos'))
    let drives = 0
    const bear = async (): Promise<World> => {
      const drive = smallDrive(join(folder, `drive-${++drives}`), driveBytes) as SmallDrive
      mounted.push(drive)
      const place = placeIn(drive.folder)
      const service = begin(place)
      await service.call('rack.create', { folder: place.rack, name: 'Full' })
      const born: World = {
        drive,
        beside: folder,
        place,
        random,
        photos,
        shop: new Shop(random),
        service,
        tray: new Set(),
      }
      for (let i = 0; i < 12; i++) await born.shop.perform(born.shop.add(), service.call)
      await service.call('photos.takeIn', { files: photos(2).map(({ path, name }) => ({ path, name })) })
      await settled(service)
      // what is undone next would be the photos
      born.shop.forgetHistory()
      return born
    }
    for (let i = 0; i < count && !isOver(); i++) {
      if (!world || i % casesOfAWorld === 0) {
        if (world) broken.push(...(await endWorld(world)))
        world = await bear()
      }
      const way = ways[i % ways.length] as Way
      // small numbers more often: there it is decided what comes first
      const left = random.chance(0.15) ? 0 : Math.floor(way.upTo * random.float() ** 2)
      const here = `case ${i} of seed ${seed}, ${way.name} with ${left} bytes left`
      try {
        const { outcome, wrong } = await fillAndTry(world, way, left)
        told.cases++
        told[outcome.done ? 'fitted' : 'refused']++
        const counted = byWay.get(way.name) ?? { refused: 0, fitted: 0 }
        counted[outcome.done ? 'fitted' : 'refused']++
        byWay.set(way.name, counted)
        for (const words of wrong) broken.push(`${here}: ${words}`)
      } catch (error) {
        broken.push(`${here}: ${wordsOf(error)}; ${world.service.complaints().slice(-600)}`)
        await world.service.kill()
        world.drive.remove()
        world = null
      }
      if (i % 20 === 19) say(`${i + 1} of ${count} cases, ${broken.length} promises broken`)
    }
    if (world) broken.push(...(await endWorld(world)))
    world = null
  } finally {
    await world?.service.kill()
    for (const drive of mounted) drive.remove()
    rmSync(folder, { recursive: true, force: true, maxRetries: 3 })
  }
  return {
    figures: {
      cases: told.cases,
      'there was room all the same': told.fitted,
      'refused in words': told.refused,
      ...Object.fromEntries(
        [...byWay].map(([name, { refused, fitted }]) => [`  ${name}`, `${refused} refused, ${fitted} fitted`]),
      ),
      'promises broken': broken.length,
    },
    broken,
  }
}

async function fillAndTry(world: World, way: Way, left: number): Promise<{ outcome: Outcome; wrong: string[] }> {
  const { drive, shop, service, place } = world
  const { attempt, look } = await way.begin(world)
  const before = shop.panels
  drive.fillTo(left)
  const outcome = await attempt()
  await settled(service)
  const wrong: string[] = []
  if (!outcome.done && !full.includes(outcome.code))
    wrong.push(
      `refused with ${outcome.code}: ${outcome.message} ${outcome.code === 'unexpected' ? service.complaints().slice(-900) : ''}`,
    )
  if (!outcome.done && shop.panels !== before) wrong.push('refused, and taken down all the same')
  wrong.push(...inCopy(place.rack, unsoundness), ...wrongBackups(place.rack), ...wrongOriginals(place.rack))
  wrong.push(...halfDone(world))
  wrong.push(...(await look(outcome)))
  const now = await stateNow(world)
  if (now !== null) wrong.push(`while it was full: ${now}`)

  drive.clear()
  if (!outcome.done) {
    const again = await attempt()
    await settled(service)
    if (!again.done) wrong.push(`with room again: ${again.code}: ${again.message}`)
    wrong.push(...halfDone(world), ...(await look(again)))
  }
  const after = await stateNow(world)
  if (after !== null) wrong.push(`with room again: ${after}`)
  return { outcome, wrong }
}

/** What the open rack says against what it has promised; null when no rack is open, or all is well. */
async function stateNow({ service, shop, place }: World): Promise<string | null> {
  const { rack } = (await service.call('rack.describe', {})) as { rack: { folder: string } | null }
  if (rack?.folder !== place.rack) return null
  return difference(shop.panels, await panelsIn(service.call))
}

/** The lock lies there while the rack is open. */
const halfDone = ({ place }: World): string[] => leftovers(place.rack, place.home).map((name) => `left behind ${name}`)

async function endWorld(world: World): Promise<string[]> {
  const wrong: string[] = []
  const { service, place } = world
  const { rack } = (await service.call('rack.describe', {})) as { rack: { folder: string } | null }
  if (rack?.folder !== place.rack) await openIn(service, place)
  if ((await service.leave()) !== 0) wrong.push('the service did not leave as it should')
  world.service = begin(place)
  const info = await openIn(world.service, place)
  for (const { code } of info.cautions ?? []) wrong.push(`opened again with a caution: ${code}`)
  await settled(world.service)
  const words = difference(world.shop.panels, await panelsIn(world.service.call))
  if (words !== null) wrong.push(`opened again: ${words}`)
  await world.service.leave()
  wrong.push(...inCopy(place.rack, unsoundness), ...halfDone(world))
  world.drive.remove()
  return wrong.map((each) => `at the end: ${each}`)
}
