import { join } from 'node:path'
import { inspect } from 'node:util'
import { type CallName, calls as contract } from '../../../../shared-core/contract/calls.ts'
import { namedMaterial } from '../../../../shared-core/records/mixture.ts'
import { draft } from '../../../rack/fresh.ts'
import { type Making, makerOf } from '../from-schema.ts'
import type { Random } from '../random.ts'
import { pictureSeeds } from '../seeds.ts'
import type { FuzzTarget, Service } from '../target.ts'

/** A call as it is made, before ids and paths that there are have been put in. */
export type HostileCall = { name: CallName; make: (service: Service) => unknown; sent?: unknown }

const names = Object.keys(contract) as CallName[]
const makers = new Map(names.map((name) => [name, makerOf(contract[name].input)]))

/** What answers named, by the key under which it stood: later calls ask for things that there are. */
const harvests = new WeakMap<Service, Map<string, string[]>>()
const mostOfAKind = 24
/** After so many calls there is something of everything again. */
const freshEvery = 80

function harvest(service: Service, value: unknown, key = '', depth = 0): void {
  const found = harvests.get(service) ?? new Map<string, string[]>()
  harvests.set(service, found)
  if (depth > 8) return
  if (typeof value === 'string') {
    if (!/id$|code|key|digest|sha|name|title/i.test(key) || value.length > 300) return
    const kind = kindOf(key)
    const list = found.get(kind) ?? []
    found.set(kind, list)
    if (list.includes(value)) return
    list.push(value)
    // what came long ago may have been undone
    if (list.length > mostOfAKind) list.shift()
  } else if (Array.isArray(value)) {
    for (const one of value.slice(0, 20)) harvest(service, one, key.replace(/s$/, ''), depth + 1)
  } else if (typeof value === 'object' && value !== null) {
    for (const [name, one] of Object.entries(value)) harvest(service, one, name === 'id' ? `${key}Id` : name, depth + 1)
  }
}

const others: Readonly<Record<string, string>> = {
  key: 'panel',
  item: 'reading',
  flatphoto: 'photo',
  reference: 'reference',
}
const kindOf = (key: string): string => {
  const kind = key.toLowerCase().replace(/ids?$|s$/, '')
  return others[kind] ?? kind
}

/** Places inside the sandbox: nobody but the rack's own folders may be written to, whatever is asked. */
function somewhere(service: Service, random: Random): string {
  const at = (...parts: string[]) => join(service.folder, ...parts)
  return random.pick([
    service.rack,
    at('no', 'such', 'place'),
    at('new rack'),
    service.folder,
    at('x'.repeat(250)),
    at('a', 'x'.repeat(300)),
    at('with\0zero'),
    'relative',
    '.',
    at('\ud800'),
    at('..', 'desk', 'y'),
    join(service.rack, 'rack.sqlite'),
    join(service.rack, 'photos'),
    join(service.rack, 'backups'),
    'lock',
    at('漆'.repeat(60)),
    at('new\nline'),
  ])
}

const isPlace = /^(path|paths|folder|file|files|from|to|place|target|secondPlace|inside)$/

function makingOf(service: Service, random: Random): Making {
  const wrong = random.chance(0.6) ? 0 : random.pick([0.005, 0.02, 0.2])
  return {
    random,
    wrong,
    known: (key) => {
      if (isPlace.test(key)) return somewhere(service, random)
      const list = harvests.get(service)?.get(kindOf(key))
      if (list && list.length > 0 && random.chance(0.75)) return random.pick(list)
      return /id$/i.test(key) && random.chance(0.3) ? '0192f0c1-2d3e-7abc-8def-0123456789ab' : undefined
    },
  }
}

/** The whole contract, by real messages to a real service: near the limits of its schemas, and beyond. */
export const calls: FuzzTarget<HostileCall> = {
  name: 'calls',
  mostMb: 900,
  make: (random) => {
    const name = random.pick(names)
    return { name, make: (service) => makers.get(name)?.(makingOf(service, random)) }
  },
  run: async (given, service, i) => {
    if (!harvests.has(service) || i % freshEvery === 0) await begin(service, i)
    given.sent = given.make(service)
    const answer = await service.call(given.name, given.sent)
    if (answer.ok) harvest(service, answer.value)
    const jobId = answer.ok ? (answer.value as { jobId?: string }).jobId : undefined
    if (jobId !== undefined) {
      // a whole demonstration rack takes its time, and is no input
      await service.call('jobs.cancel', { jobId })
      await service.ended(jobId)
    }
    // whatever it did, the rack is open again for the next, and answers
    const described = await service.call('rack.describe', {})
    if (!described.ok || (described.value as { rack?: { folder: string } | null }).rack?.folder !== service.rack)
      await service.call('rack.open', { folder: service.rack })
    return answer.ok ? 'taken' : 'refused'
  },
  // what was asked depends on what was there: it is kept as it was sent
  keep: ({ name, sent }) => `${name} ${inspect(sent, { depth: 40, maxArrayLength: 400, maxStringLength: 5000 })}`,
}

/** Something of everything, to be asked for. */
async function begin(service: Service, i: number): Promise<void> {
  if (!harvests.has(service)) harvests.set(service, new Map())
  const asked = async (name: string, input: unknown) => {
    const answer = await service.call(name, input)
    if (answer.ok) harvest(service, answer.value)
    return answer.ok ? answer.value : null
  }
  await asked('panels.save', { draft: draft() })
  const { onHand: _, dataSheetFile: __, replacedById: ___, ...material } = namedMaterial('', 'copper', 'concentrate')
  await asked('shelf.save', { material: { ...material, name: `copper ${i}`, id: null } })
  const [photo] = (await pictureSeeds()).jpeg
  const files = [
    { path: service.file('begin.jpg', Buffer.concat([photo as Buffer, Buffer.from(String(i))])), name: 'begin.jpg' },
  ]
  const { jobId } = (await asked('photos.takeIn', { files })) as { jobId: string }
  harvest(service, await service.ended(jobId))
  const typed = {
    lab: { l: 40, a: 20, b: 10 },
    illuminant: 'D50',
    observer: '2',
    geometry: 'photo',
    bound90: null,
    view: 'face',
    stage: 'dry',
    lightId: null,
  }
  await asked('references.addTyped', { ...typed, name: `wanted ${i}` })
  for (const name of ['references.list', 'settings.get', 'rack.describe', 'photos.listTray']) await asked(name, {})
  await asked('panels.list', { filter: {}, sort: 'code' })
}
