import type {
  FilmKnowledge,
  KnownCandy,
  KnownGround,
  KnownGun,
  KnownMidCoat,
} from '../../../shared-core/records/film.ts'
import type { FilmRack, FilmStep } from '../../rack/queries/film-observations.ts'
import { listed, type Names, namesOf } from './words.ts'
import type { FilmSummary } from './worker/tasks.ts'

export const isRead = ({ readings }: FilmStep): boolean => readings.usable.length > 0
const isBare = ({ coats, under, over }: FilmStep): boolean => coats === 0 && !under && !over
/** Dyes of every candy in a step, also of stacked ones. */
type Dyed = ReadonlyMap<FilmStep, readonly string[]>

/** How much the rack teaches, in the words and names of its painter. */
export function describeFilm(rack: FilmRack, fit: FilmSummary): FilmKnowledge {
  const read = rack.steps.filter(isRead)
  const dyed = dyesByStep(rack)
  const grounds = rack.grounds.map((ground) => knownGround(ground, rack, fit))
  const candies = rack.candies.map((candy) => knownCandy(candy, read, dyed, rack, fit))
  return {
    revision: rack.revision,
    stepCount: read.length,
    panelCount: new Set(read.map(({ panelId }) => panelId)).size,
    candies,
    grounds,
    midCoats: rack.midCoats.map(({ id, name }) => knownMidCoat(id, name, read)),
    guns: rack.guns.flatMap((gun) => (gun.id === null ? [] : [knownGun(gun.id, gun.name, read, fit)])),
    usualCoats: usualCoats(read),
    scatterPerCoat: fit.scatterPerCoat,
    leftOut: [...rack.leftOut],
    advice: adviceOn(candies, grounds, rack, namesOf(rack)),
  }
}

function dyesByStep({ library, stepOfReading }: FilmRack): Dyed {
  const dyes = new Map<FilmStep, string[]>()
  for (const observation of library.observations) {
    const step = stepOfReading.get(observation.id)
    if (step && !dyes.has(step))
      dyes.set(
        step,
        observation.dyes.map(({ id }) => id),
      )
  }
  return dyes
}

function knownCandy(
  { id, name, onShelf }: FilmRack['candies'][number],
  read: readonly FilmStep[],
  dyed: Dyed,
  rack: FilmRack,
  fit: FilmSummary,
): KnownCandy {
  const own = read.filter((step) => dyed.get(step)?.includes(id))
  const over = new Set(own.map(({ ground }) => ground))
  const found = fit.candies.find((candy) => candy.id === id)
  return {
    id,
    name,
    onShelf,
    lab: found?.lab ?? null,
    bound90: found?.bound90 ?? null,
    stepCount: own.length,
    grounds: rack.grounds.flatMap((ground) => (over.has(ground.id) ? [ground.name] : [])),
    coatsTo: Math.max(0, ...own.map(({ coats }) => coats)),
  }
}

function knownGround({ id, name }: FilmRack['grounds'][number], rack: FilmRack, fit: FilmSummary): KnownGround {
  const own = rack.steps.filter(({ ground }) => ground === id)
  const bare = own.filter(isBare)
  const readings = bare.flatMap(({ readings: { usable } }) => usable)
  const cleared = readings.find(({ finish }) => finish === 'cleared')
  const cuts = bare.flatMap((step) => step.readings.cuts.cleared ?? step.readings.cuts.uncleared ?? [])
  return {
    id,
    name,
    lab: cleared?.lab ?? fit.grounds.find((ground) => ground.id === id)?.lab ?? null,
    cut: cuts[0] ?? null,
    stepCount: own.filter(isRead).length,
    bare: cleared ? 'cleared' : readings.length > 0 ? 'raw' : 'none',
  }
}

function knownMidCoat(id: string, name: string, read: readonly FilmStep[]): KnownMidCoat {
  const [under, over] = [read.filter((step) => step.under?.id === id), read.filter((step) => step.over?.id === id)]
  return {
    id,
    name,
    stepCount: new Set([...under, ...over]).size,
    seen: [...(under.length > 0 ? (['under'] as const) : []), ...(over.length > 0 ? (['over'] as const) : [])],
  }
}

/** ln of a set-up's build before anything was read, N(0, 0.25²): the 90 % interval of a gun that only unread panels have. */
const unreadReach = Math.exp(1.645 * 0.25)

function knownGun(id: string, name: string, read: readonly FilmStep[], fit: FilmSummary): KnownGun {
  const stepCount = read.filter((step) => step.gunId === id && step.coats > 0).length
  const { build, from, to } = fit.guns.find((gun) => gun.id === id) ?? {
    build: 1,
    from: 1 / unreadReach,
    to: unreadReach,
  }
  return { id, name, stepCount, build, buildFrom: from, buildTo: to, usual: id === fit.usualGun }
}

/** What most panels were taken to. Four is usual where the rack does not say (common practice, no source). */
export function usualCoats(read: readonly FilmStep[]): number {
  const most = [...Map.groupBy(read, ({ panelId }) => panelId).values()].map((steps) =>
    Math.max(...steps.map(({ coats }) => coats)),
  )
  const counts = Map.groupBy(
    most.filter((coats) => coats > 0),
    (coats) => coats,
  )
  return [...counts].toSorted((a, b) => b[1].length - a[1].length || b[0] - a[0])[0]?.[0] ?? 4
}

/** Named at most, so that a long rack does not turn into a long list. */
const mostNamed = 4
const named = (words: readonly string[]): string =>
  words.length <= mostNamed ? listed(words) : listed([...words.slice(0, mostNamed), `${words.length - mostNamed} more`])

function adviceOn(
  candies: readonly KnownCandy[],
  grounds: readonly KnownGround[],
  rack: FilmRack,
  names: Names,
): string[] {
  const advice: string[] = []
  const used = candies.filter(({ stepCount }) => stepCount > 0)
  if (used.length === 0) {
    return ['Photograph a few panels of one candy over one ground, best in steps with a bare strip, and file them.']
  }
  const worked = grounds.filter(({ stepCount }) => stepCount > 0)
  const missing = worked.filter(({ bare }) => bare === 'none').map(({ name }) => name)
  if (missing.length > 0)
    advice.push(`Read ${named(missing)} bare under clear: a strip without candy on the next panel pays most.`)
  const raw = worked.filter(({ bare }) => bare === 'raw').map(({ name }) => name)
  if (raw.length > 0)
    advice.push(`${named(raw)}: read bare before clear only. A raw base reads duller; read it under clear too.`)
  if (worked.length > 1) {
    const once = used.filter((candy) => candy.grounds.length === 1).map(({ name }) => name)
    if (once.length > 0)
      advice.push(`${named(once)}: read over one ground only. One panel over another tells the two apart.`)
  }
  const unread = new Set(rack.steps.filter((step) => !isRead(step)).map(({ panelId }) => panelId))
  if (unread.size > 0)
    advice.push(
      `${unread.size} sprayed ${unread.size === 1 ? 'panel has a step' : 'panels have steps'} that nobody has read; photographing them costs least.`,
    )
  const unsprayed = candies
    .filter(({ onShelf, stepCount }) => onShelf && stepCount === 0)
    .map(({ id }) => names.candy(id))
  if (unsprayed.length > 0) advice.push(`${named(unsprayed)}: on the shelf, and on no panel that was read.`)
  return advice
}
