import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { type Holder, thisHolder } from '../../../electron/rack/opening/lock-holder.ts'
import { randomOf } from '../fuzz/random.ts'
import { clock, type Experiment, type Findings, type Options, wordsOf } from '../kit/experiment.ts'
import { difference, panelsIn, Shop } from '../kit/shop.ts'
import { begin, openIn, type Place, placeIn } from '../kit/shop-service.ts'
import { gather } from './race.ts'

const mostContenders = 20

export const twoServices: Experiment = {
  name: 'two-services',
  what: 'two services on one rack, locks of every kind, and 20 processes that race for one that was left behind',
  count: 40,
  minutes: 6,
  run: contending,
}

async function contending(options: Options): Promise<Findings> {
  const { seed, count, say } = options
  const random = randomOf(seed, 'two services')
  const isOver = clock(options)
  const folder = mkdtempSync(join(tmpdir(), 'overground-two-'))
  const broken: string[] = []
  let races = 0
  // the short form has fewer, too
  const contenders = Math.min(mostContenders, count)
  try {
    const place = placeIn(folder)
    broken.push(...(await secondIsRefused(place, new Shop(random))))
    const { kinds, wrong } = await locksOfEveryKind(place)
    broken.push(...wrong)
    say(`locks of ${kinds} kinds, ${broken.length} promises broken`)
    const crowd = await gather(contenders)
    try {
      for (; races < count && !isOver(); races++) {
        const stale = random.chance(0.8) ? goneHolder() : null
        const raced = await crowd.race(place.rack, stale)
        const here = `race ${races} of seed ${seed}, ${stale ? 'a lock left behind' : 'no lock'}`
        if (raced.winners !== 1) broken.push(`${here}: ${raced.winners} of ${contenders} got the rack`)
        broken.push(...raced.wrong.map((words) => `${here}: ${words}`))
      }
    } finally {
      crowd.end()
    }
    return {
      figures: {
        'kinds of locks': kinds,
        [`races of ${contenders} processes for one rack`]: races,
        'promises broken': broken.length,
      },
      broken,
    }
  } finally {
    rmSync(folder, { recursive: true, force: true, maxRetries: 3 })
  }
}

/** A process that there was before the computer was started last. */
function goneHolder(): Holder {
  return { ...thisHolder('gone'), boot: '00000000-0000-0000-0000-000000000000' }
}

async function secondIsRefused(place: Place, shop: Shop): Promise<string[]> {
  const broken: string[] = []
  const first = begin(place)
  const second = begin(placeIn(join(place.home, 'second')))
  try {
    await first.call('rack.create', { folder: place.rack, name: 'Wanted by two' })
    for (let i = 0; i < 5; i++) await shop.perform(shop.add(), first.call)
    const refused = await openIn(second, place).then(
      () => null,
      (error: { code: string; message: string }) => error,
    )
    if (refused?.code !== 'rack/locked')
      broken.push(`the second service: ${refused ? wordsOf(refused) : 'it was let in'}`)
    else if (!refused.message.includes('this computer'))
      broken.push(`the second service is not told who has the rack: ${refused.message}`)
    for (let i = 0; i < 5; i++) await shop.perform(shop.next(20), first.call)

    // its holder is killed: taken over, with everything
    await first.kill()
    const info = await openIn(second, place)
    for (const { code } of info.cautions) broken.push(`taken over with a caution: ${code}`)
    const wrong = difference(shop.panels, await panelsIn(second.call))
    if (wrong !== null) broken.push(`taken over: ${wrong}`)
  } finally {
    await first.kill()
    await second.leave()
  }
  return broken
}

/** Locks that are broken, and locks that never are unasked. */
async function locksOfEveryKind(place: Place): Promise<{ kinds: number; wrong: string[] }> {
  const mine = thisHolder('of a test')
  const kinds: { name: string; lock: string; taken: boolean }[] = [
    { name: 'of another start of this computer', lock: JSON.stringify(goneHolder()), taken: true },
    {
      name: 'whose process number is another process’s by now',
      lock: JSON.stringify({ ...mine, processStart: '1' }),
      taken: mine.processStart !== null,
    },
    { name: 'of a process that lives', lock: JSON.stringify(mine), taken: false },
    {
      name: 'of another computer',
      lock: JSON.stringify({ ...mine, host: 'spray-booth-pc', machine: 'another', boot: 'another' }),
      taken: false,
    },
    {
      name: 'of another computer of the same name',
      lock: JSON.stringify({ ...mine, machine: 'another', boot: 'another' }),
      taken: mine.machine === null || mine.machine === undefined,
    },
    { name: 'that cannot be read', lock: '{"pid": 12', taken: false },
    { name: 'that is empty', lock: '', taken: false },
  ]
  const wrong: string[] = []
  const service = begin(placeIn(join(place.home, 'third')))
  try {
    for (const { name, lock, taken } of kinds) {
      writeFileSync(join(place.rack, 'lock'), lock)
      const result = await openIn(service, place).then(
        () => 'opened',
        (error: { code: string; message: string }) => `${error.code}: ${error.message}`,
      )
      if (taken && result !== 'opened') wrong.push(`a lock ${name}: ${result}`)
      if (!taken && !result.startsWith('rack/locked')) wrong.push(`a lock ${name}: ${result}`)
      if (!taken && readFileSync(join(place.rack, 'lock'), 'utf8') !== lock) wrong.push(`a lock ${name} was altered`)
      if (name === 'of another computer' && !result.includes('spray-booth-pc'))
        wrong.push(`a lock ${name}: not named: ${result}`)
      await service.call('rack.close', {})
      rmSync(join(place.rack, 'lock'), { force: true })
    }
  } finally {
    await service.leave()
  }
  return { kinds: kinds.length, wrong }
}
