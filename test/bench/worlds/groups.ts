import { randomFrom } from '../../../electron/service/demonstration/random.ts'
import type { FilmLibrary, FilmObservation } from '../../../shared-core/film/recipe.ts'
import { type Rack, type RackWish, rackOf } from '../../worlds/rack.ts'
import { pickSome } from '../../worlds/spectra.ts'

/** What is simulated: `say` is printed above its figures, `racks` give at least 400 recipes. */
type Group = { say: string; racks: number; rack: (seed: string) => Rack }

const usual = { noise: 1, scatterPerCoat: 0.08 } as const

/** Four to six candies, three or four grounds. */
function sized(seed: string, wish: Partial<RackWish> = {}): Rack {
  const random = randomFrom(`${seed}/size`)
  const pearl = random.chance(0.5)
  return rackOf(seed, {
    ...usual,
    candies: random.whole(4, 6),
    grounds: random.whole(3, 4),
    ...(pearl ? { midCoats: 1, under: true } : {}),
    ...wish,
  })
}

/** Ten readings of a beginner's rack. */
function tenReadings(seed: string): Rack {
  const rack = rackOf(seed, { ...usual, candies: 2, grounds: 2 })
  const random = randomFrom(`${seed}/ten`)
  return { ...rack, library: { ...rack.library, observations: pickSome(random, rack.library.observations, 10) } }
}

/** Three recipes read twice, far apart, and three readings that no paint has. */
function spoilt(seed: string): Rack {
  const rack = sized(seed)
  const random = randomFrom(`${seed}/spoilt`)
  const chosen = pickSome(random, rack.library.observations, 6)
  const contradicting = chosen.slice(0, 3).map((one): FilmObservation => {
    const lab = { l: Math.min(95, one.lab.l + 18), a: one.lab.a - 25, b: one.lab.b + 20 }
    return { ...one, id: `${one.id}/again`, panel: `${one.panel}/again`, lab }
  })
  const absurd = chosen.slice(3).map(
    (one): FilmObservation => ({
      ...one,
      id: `${one.id}/absurd`,
      panel: `${one.panel}/absurd`,
      lab: { l: 180, a: 300, b: -400 },
    }),
  )
  const library: FilmLibrary = {
    ...rack.library,
    observations: [...rack.library.observations, ...contradicting, ...absurd],
  }
  return { ...rack, library }
}

export const groups = {
  even: { say: 'one camera, one lamp, 1.0 dE00 of noise', racks: 50, rack: (seed) => sized(seed) },
  rough: {
    say: 'another film index, a camera’s own eye, photos that share an error, one misread panel in forty',
    racks: 50,
    rack: (seed) => sized(seed, { rough: true, noise: 0.9, photoNoise: 0.45, misread: 1 / 40 }),
  },
  guns: { say: 'two gun set-ups, reducer on top', racks: 50, rack: (seed) => sized(seed, { guns: true }) },
  phone: { say: '2.6 dE00 of noise', racks: 50, rack: (seed) => sized(seed, { noise: 2.6 }) },
  steps: {
    say: 'masked steps, 15 % scatter per coat, to be found from the rack',
    racks: 50,
    rack: (seed) => sized(seed, { steps: true, scatterPerCoat: 0.15, scatterUnknown: true }),
  },
  'mid-coats': {
    say: 'a mid coat under and over candy',
    racks: 40,
    rack: (seed) => sized(seed, { midCoats: 1, under: true, over: true }),
  },
  finishes: {
    say: 'some panels read before clear, some after, some both; both asked',
    racks: 50,
    rack: (seed) => sized(seed, { bothFinishes: true }),
  },
  'no-bare': { say: 'no bare ground was ever read', racks: 50, rack: (seed) => sized(seed, { noBare: true }) },
  ten: { say: 'ten readings, two candies, two grounds', racks: 32, rack: tenReadings },
  'one-candy': {
    say: 'one candy, three grounds',
    racks: 52,
    rack: (seed) => rackOf(seed, { ...usual, candies: 1, grounds: 3 }),
  },
  spoilt: { say: 'contradictory panels and absurd readings', racks: 50, rack: spoilt },
} as const satisfies Record<string, Group>

export type GroupName = keyof typeof groups
export const groupNames = Object.keys(groups) as GroupName[]
