import { mkdtempSync, readdirSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { randomOf } from '../fuzz/random.ts'
import { clock, type Experiment, type Findings, type Options, pause, wordsOf } from '../kit/experiment.ts'
import { leftovers } from '../kit/inspect.ts'
import { photoSupply } from '../kit/many-photos.ts'
import { begin, openIn, placeIn, settled, waitingIn } from '../kit/shop-service.ts'
import { type Life, newLife } from './life.ts'
import { type Moment, migrating, moments } from './moments.ts'
import { merging, relinking, repairing } from './more-moments.ts'
import { oldRacks } from './old-racks.ts'
import { afterKill, afterMigration } from './verify.ts'

/** So many kills, and the rack begins anew: one that grows for ever would only make the kills slower. */
const killsOfALife = 45

export const kill: Experiment = {
  name: 'kill',
  what: 'the service is killed at random moments of intake, edits, undo, bulk edit, closing, backup, restore, migration, merge, relinking, repair',
  count: 300,
  minutes: 25,
  run: killing,
}

async function killing(options: Options): Promise<Findings> {
  const { seed, count, say } = options
  const random = randomOf(seed, 'kill')
  const isOver = clock(options)
  const folder = mkdtempSync(join(tmpdir(), 'overground-kill-'))
  const broken: string[] = []
  const byMoment: Record<string, number> = {}
  const told = { kills: 0, acknowledged: 0, found: 0, recoveries: 0, slowest: 0 }
  let life: Life | null = null
  try {
    const migration = migrating(await oldRacks(join(folder, 'old'), 150))
    const all: readonly Moment[] = [...moments, migration, merging, relinking, repairing]
    const photos = await photoSupply(join(folder, 'photos'))
    let born = 0
    const bear = async (): Promise<Life> => {
      const place = placeIn(join(folder, `life-${++born}`))
      const service = begin(place)
      await service.call('rack.create', { folder: place.rack, name: 'Killed' })
      const begun = newLife(place, random, photos, service)
      for (let i = 0; i < 12; i++) await begun.shop.perform(begun.shop.add(), service.call)
      await service.call('photos.takeIn', { files: photos(8).map(({ path, name }) => ({ path, name })) })
      await settled(service)
      begun.tray = await waitingIn(service)
      begun.shop.forgetHistory()
      return begun
    }
    for (let i = 0; i < count && !isOver(); i++) {
      const moment = all[i % all.length] as Moment
      const isMigration = moment === migration
      if (!life || isMigration || i % killsOfALife === 0) {
        await life?.service.leave()
        life = await bear()
        if (isMigration) await life.service.call('rack.close', {})
      }
      const here = `kill ${i} of seed ${seed}, during ${moment.name}`
      try {
        const wait = await killDuring(life, moment)
        told.kills++
        byMoment[moment.name] = (byMoment[moment.name] ?? 0) + 1
        const found = isMigration ? await afterMigration(life) : await afterKill(life)
        told.acknowledged += found.acknowledged
        told.recoveries++
        told.slowest = Math.max(told.slowest, found.openMs)
        for (const words of found.broken) broken.push(`${here} after ${wait} ms: ${words}`)
        if (found.broken.length > 0 || isMigration || moment === repairing) {
          await life.service.leave()
          if (found.broken.length === 0)
            for (const left of forgotten(life.place)) broken.push(`${here}: left behind ${left}`)
          life = null
        } else if (i % 9 === 8) {
          const left = await leaveCleanly(life)
          for (const name of left) broken.push(`${here}: left behind ${name}`)
          life.service = begin(life.place)
          await openIn(life.service, life.place)
        }
      } catch (error) {
        broken.push(`${here}: ${wordsOf(error)}; ${life?.service.complaints().slice(-500)}`)
        await life?.service.kill()
        life = null
      }
      if (i % 25 === 24) say(`${i + 1} of ${count} kills, ${broken.length} promises broken`)
    }
  } finally {
    await life?.service.kill()
    rmSync(folder, { recursive: true, force: true, maxRetries: 3 })
  }
  return {
    figures: {
      kills: told.kills,
      ...Object.fromEntries(Object.entries(byMoment).map(([name, number]) => [`  during ${name}`, number])),
      'acknowledged changes looked for': told.acknowledged,
      'racks opened again, lock recovered': told.recoveries,
      'slowest opening after a kill': `${told.slowest.toFixed(0)} ms`,
      'promises broken': broken.length,
    },
    broken,
  }
}

/** @returns milliseconds after the beginning at which it was killed */
async function killDuring(life: Life, moment: Moment): Promise<number> {
  life.pending = null
  life.intake = null
  life.restoring = false
  life.merging = null
  life.relinking = null
  life.repairing = false
  await moment.prepare?.(life)
  const { service } = life
  const work = moment.work(life)
  const ended = work.then(
    () => null,
    (error: unknown) => error,
  )
  const wait = Math.round(life.random.float() * moment.withinMs)
  const first = await Promise.race([pause(wait).then(() => 'time' as const), ended])
  await service.kill()
  const error = await ended
  // a refusal before the kill is a fault of ours, or of this experiment
  if (first !== 'time') throw error
  return wait
}

/**
 * Swept by whoever comes later, as another service may be at work on them: records of this computer after ten minutes, copies of
 * archives after a day, a repair's working copies by the next repair.
 */
const sweptLater = /^\.[\w-]+\.json\.[\w-]+\.part$|^archives\/|^backups\/\.repair\//

const forgotten = ({ rack, home }: Life['place']): string[] =>
  leftovers(rack, home).filter((name) => !sweptLater.test(name))

/** Closes the rack as a painter does. @returns what is left lying about */
async function leaveCleanly(life: Life): Promise<string[]> {
  const { place, service } = life
  const code = await service.leave()
  const left = forgotten(place)
  if (code !== 0) left.push(`(the service left with code ${code})`)
  for (const name of readdirSync(place.rack)) if (name === 'lock' || name.startsWith('rack.sqlite-')) left.push(name)
  return left
}
