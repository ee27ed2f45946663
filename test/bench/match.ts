import { differenceCiede2000 as culoriDifference, nearest as culoriNearest } from 'culori'
import { type DifferenceWeights, differenceCiede2000 } from '../../shared-core/colour/difference.ts'
import type { Lab } from '../../shared-core/colour/lab.ts'
import { NearestIndex, type Neighbour, type Question } from '../../shared-core/match/nearest/nearest-index.ts'
import type { Entry } from '../../shared-core/match/nearest/rows.ts'

import { wholeCall } from './match/whole-call.ts'

/**
 * Finding the nearest readings: the same as a full scan finds, and how much faster. Ratios come from one run, each the
 * median of several pairs.
 *   npm run bench -- match [FOLDER-OF-A-BIG-RACK]
 */
export async function run([rack]: string[] = []): Promise<void> {
  const random = generator(20_311)
  identity('20,000 readings', 20_000, 10_000, random)
  identity('1,000,000 readings', 1_000_000, 100, random)
  speed(random)
  await wholeCall(rack)
}

type Random = () => number

/** mulberry32: small, and the same everywhere. */
function generator(seed: number): Random {
  let state = seed
  return () => {
    state = (state + 0x6d2b79f5) | 0
    let t = Math.imul(state ^ (state >>> 15), 1 | state)
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296
  }
}

const between = (random: Random, from: number, to: number): number => from + random() * (to - from)
const anyLab = (random: Random): Lab => ({
  l: between(random, 5, 95),
  a: between(random, -80, 80),
  b: between(random, -80, 80),
})
/** Sum of uniform numbers: near enough to a bell. */
const bell = (random: Random): number => random() + random() + random() + random() - 2

/** As a rack's: candies in a few hundred families, each spread over its coats and grounds. */
function clustered(count: number, random: Random): Lab[] {
  const families = Array.from({ length: 400 }, () => anyLab(random))
  return Array.from({ length: count }, () => {
    const family = families[Math.floor(random() * families.length)]!
    return { l: family.l + 6 * bell(random), a: family.a + 6 * bell(random), b: family.b + 6 * bell(random) }
  })
}

const sets: Record<string, (count: number, random: Random) => Lab[]> = {
  clustered,
  'several of each': (count, random) => {
    const few = clustered(Math.ceil(count / 40), random)
    return Array.from({ length: count }, () => few[Math.floor(random() * few.length)]!)
  },
  neutral: (count, random) =>
    Array.from({ length: count }, () => ({ l: between(random, 0, 100), a: bell(random), b: bell(random) })),
  blue: (count, random) =>
    Array.from({ length: count }, () => ({
      l: between(random, 10, 60),
      a: between(random, -20, 60),
      b: between(random, -100, -20),
    })),
  'all the same': (count) => Array.from({ length: count }, () => ({ l: 41, a: 12, b: -30 })),
}

const asEntries = (labs: readonly Lab[]): Entry[] => labs.map((lab, id) => ({ id, lab }))

/** The plain way with the same kernel: every colour that is let through is compared, and the nearest are kept in order. */
function fullScan(entries: readonly Entry[], reference: Lab, { count, weights, accepts, isOlder = isLower }: Question) {
  const after = (de00: number, id: number, other: Neighbour): boolean =>
    de00 !== other.de00 ? de00 > other.de00 : isOlder(other.id, id)
  const found: Neighbour[] = []
  for (const { id, lab } of entries) {
    if (accepts && !accepts(id)) continue
    const de00 = differenceCiede2000(reference, lab, weights)
    const last = found.at(-1)
    if (found.length === count && last && after(de00, id, last)) continue
    if (found.length === count) found.pop()
    let at = found.length
    while (at > 0 && !after(de00, id, found[at - 1]!)) at--
    found.splice(at, 0, { id, de00 })
  }
  return found
}

const isLower = (one: number, other: number): boolean => one < other

function identity(name: string, size: number, queries: number, random: Random): void {
  const kinds = Object.entries(sets)
  let [same, asked] = [0, 0]
  for (const [, make] of kinds) {
    const entries = asEntries(make(size, random))
    const ages = Int32Array.from(entries, () => Math.floor(random() * 1000))
    const isOlder = (one: number, other: number): boolean =>
      ages[one]! !== ages[other]! ? ages[one]! < ages[other]! : one < other
    const index = new NearestIndex(entries)
    for (let at = 0; at < queries / kinds.length; at++) {
      const weights: DifferenceWeights | undefined =
        at % 2 === 0
          ? undefined
          : { kL: between(random, 0.5, 2), kC: between(random, 0.5, 2), kH: between(random, 0.5, 2) }
      const step = 1 + (at % 3)
      const question: Question = {
        count: 24,
        isOlder,
        ...(weights ? { weights } : {}),
        ...(step > 1 ? { accepts: (id: number) => id % step === 0 } : {}),
      }
      const reference = at % 4 === 0 ? anyLab(random) : near(entries[Math.floor(random() * size)]!.lab, random)
      const [ours, scanned] = [index.nearest(reference, question), fullScan(entries, reference, question)]
      asked++
      if (
        ours.length === scanned.length &&
        ours.every((each, i) => each.id === scanned[i]!.id && each.de00 === scanned[i]!.de00)
      )
        same++
    }
  }
  console.log(`${name}: ${same} of ${asked} searches gave the same rows in the same order as a full scan`)
  if (same !== asked) process.exitCode = 1
}

const near = ({ l, a, b }: Lab, random: Random): Lab => ({
  l: l + bell(random),
  a: a + bell(random),
  b: b + bell(random),
})

const median = (values: readonly number[]): number => values.toSorted((a, b) => a - b)[values.length >> 1]!

function timed(work: () => unknown): number {
  const from = performance.now()
  work()
  return performance.now() - from
}

function speed(random: Random): void {
  for (const [size, rounds] of [
    [20_000, 40],
    [1_000_000, 9],
  ] as const) {
    const entries = asEntries(clustered(size, random))
    const index = new NearestIndex(entries)
    const references = Array.from({ length: rounds }, () => near(entries[Math.floor(random() * size)]!.lab, random))
    const search = (reference: Lab) => index.nearest(reference, { count: 24 })
    for (const reference of references) search(reference)
    const ours = references.map((reference) => timed(() => search(reference)))
    const scans = references.map((reference) => timed(() => fullScan(entries, reference, { count: 24 })))
    const ratio = median(scans.map((scan, at) => scan / ours[at]!))
    console.log(
      `24 nearest of ${size.toLocaleString('en')} clustered readings: ${median(ours).toFixed(3)} ms, a full scan ${median(scans).toFixed(2)} ms, ${ratio.toFixed(0)} times`,
    )
    if (size > 100_000) {
      const changes = references.map((lab, at) => timed(() => index.insert({ id: size + at, lab })))
      console.log(`one reading more: ${median(changes).toFixed(3)} ms`)
      continue
    }
    const colours = entries.map(({ lab }) => ({ mode: 'lab' as const, l: lab.l, a: lab.a, b: lab.b }))
    const theirs = culoriNearest(colours, culoriDifference())
    const culori = references.map(({ l, a, b }) => timed(() => theirs({ mode: 'lab', l, a, b }, 24)))
    const times = median(culori.map((each, at) => each / ours[at]!))
    console.log(`culori's nearest with differenceCiede2000: ${median(culori).toFixed(1)} ms, ${times.toFixed(0)} times`)
  }
}
