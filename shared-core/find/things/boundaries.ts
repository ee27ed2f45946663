import { medianOf } from './sides.ts'

/** A panel in lanes: channel by channel, lane by lane, `count` numbers of 0 to 255 along it. */
export type Lanes = { lanes: number; count: number; data: Float32Array[]; margin: number }

/** Where two strips meet: the place along the panel, 0 to 1, at both of its sides. */
export type Boundary = { from: number; to: number; weight: number }

/** Stretches that are compared, and what is left out between them: a taped edge is up to some millimetres soft. */
const stretch = 0.035
const between = 0.012
/** Least change, in numbers of the picture; and over how uncertain its median is. */
const leastChange = 1.6
const leastClear = 6
/** Of the change over a longer stretch, what is there over half of it: the edge of a reflection is slow. */
const leastAbrupt = 0.5
/** Lanes so much lighter than the darkest fifth (numbers of the picture) show a reflection; so many must be left. */
const reflection = 10
const darkShare = 0.2
const leastLanes = 0.28
/** The others, in groups side by side, must all change at least by this share: a shadow that lies across changes some. */
const laneGroups = 3
const leastShare = 0.4
/** Strips are at least this long. */
const shortest = 0.05
/** Outlines are a little off: the ends of a panel may be its surroundings. */
const ends = 0.012

/** Every place at which the colour changes across the whole panel, in order. */
export function boundariesIn(panel: Lanes): Boundary[] {
  const { count } = panel
  const sums = panel.data.map((data) => summed(data, panel.lanes, count))
  const changes = Array.from({ length: count + 1 }, (_, place) =>
    // windows are ten places wide: every other one is enough
    place % 2 === 0 ? changeAt(panel, sums, place) : null,
  )
  const steepness = changes.map((change, place) => change && sharpness(changes, place, count, change))
  const found: { place: number; weight: number }[] = []
  const reach = Math.round((stretch + between) * count)
  const sizes = changes.map((change) => change?.size ?? 0)
  // the flank of a boundary is a change too: only its summit counts
  const order = steepness
    .map((weight, place) => ({ place, weight: weight ?? 0 }))
    .filter(({ place, weight }) => weight > 0 && isSummit(sizes, place, reach))
    .toSorted((a, b) => b.weight - a.weight)
  for (const one of order)
    if (!found.some(({ place }) => Math.abs(place - one.place) < shortest * count)) found.push(one)
  const inOrder = found.toSorted((a, b) => a.place - b.place)
  return withoutBands(inOrder, (place) => changes[place]!.mean)
    .map(({ place, weight }) => ({ ...endsOf(panel, sums, place, changes[place]!), weight }))
    .filter(({ abrupt }) => abrupt >= leastAbrupt)
}

/** A band with the same paint on both sides is a lamp's reflection or a shadow: strips go on rising or falling. */
function withoutBands<T extends { place: number }>(found: T[], changeIn: (place: number) => number[]): T[] {
  const gone = new Set<T>()
  for (const [i, one] of found.entries()) {
    const next = found[i + 1]
    if (!next || gone.has(one)) continue
    const [there, back] = [changeIn(one.place), changeIn(next.place)]
    const left = Math.hypot(...there.map((v, c) => v + back[c]!))
    if (left < sameAgain * Math.min(Math.hypot(...there), Math.hypot(...back))) gone.add(one).add(next)
  }
  return found.filter((one) => !gone.has(one))
}
const sameAgain = 0.3

const isSummit = (sizes: number[], place: number, reach: number): boolean =>
  sizes.slice(Math.max(0, place - reach), place + reach + 1).every((size) => size <= sizes[place]!)

type Change = { mean: number[]; size: number; clear: number; share: number; kept: number[] }

function summed(data: Float32Array, lanes: number, count: number): Float64Array {
  const sums = new Float64Array(lanes * (count + 1))
  for (let lane = 0; lane < lanes; lane++)
    for (let n = 0; n < count; n++)
      sums[lane * (count + 1) + n + 1] = sums[lane * (count + 1) + n]! + data[lane * count + n]!
  return sums
}

const meanOver = (sums: Float64Array, lane: number, count: number, from: number, to: number) =>
  (sums[lane * (count + 1) + to]! - sums[lane * (count + 1) + from]!) / (to - from)

const windowsAt = (place: number, count: number, times = 1) => {
  const wide = Math.max(2, Math.round(times * stretch * count))
  const gap = Math.max(1, Math.round(times * between * count))
  return { left: place - gap - wide, leftEnd: place - gap, right: place + gap, rightEnd: place + gap + wide }
}

/** Change from before a place to behind it: the median of the lanes without a reflection. */
function changeAt({ lanes, count }: Lanes, sums: Float64Array[], place: number): Change | null {
  const { left, leftEnd, right, rightEnd } = windowsAt(place, count)
  const end = Math.ceil(ends * count)
  if (left < end || rightEnd > count - end) return null
  const before = Array.from({ length: lanes }, (_, lane) =>
    sums.map((sum) => meanOver(sum, lane, count, left, leftEnd)),
  )
  const behind = Array.from({ length: lanes }, (_, lane) =>
    sums.map((sum) => meanOver(sum, lane, count, right, rightEnd)),
  )
  const light = before.map((colour, lane) => colour.reduce((sum, v, c) => sum + v + behind[lane]![c]!, 0) / 6)
  // a reflection may cover most of the width: what is darkest shows the paint itself
  const paint = light.toSorted((a, b) => a - b)[Math.floor(lanes * darkShare)]!
  const spread = medianOf(light.filter((v) => v <= paint).map((v) => paint - v))
  const most = paint + Math.max(reflection, 4 * spread)
  const kept = light.flatMap((v, lane) => (v < most ? [lane] : []))
  const each = kept.map((lane) => before[lane]!.map((v, c) => behind[lane]![c]! - v))
  if (each.length < leastLanes * lanes) return { mean: sums.map(() => 0), size: 0, clear: 0, share: 0, kept: [] }
  const mean = sums.map((_, c) => medianOf(each.map((change) => change[c]!)))
  const size = Math.hypot(...mean)
  if (size < 0.3) return { mean, size, clear: 0, share: 0, kept: [] }
  const along = each.map((change) => change.reduce((sum, v, c) => sum + (v * mean[c]!) / size, 0))
  const scatter = 1.4826 * medianOf(along.map((v) => Math.abs(v - size)))
  const groups = Array.from({ length: laneGroups }, (_, n) =>
    medianOf(
      along.slice(Math.floor((n * along.length) / laneGroups), Math.floor(((n + 1) * along.length) / laneGroups)),
    ),
  )
  return {
    mean,
    size,
    clear: size / (1.25 * (scatter / Math.sqrt(each.length)) + 0.12),
    share: Math.min(1, Math.min(...groups) / size),
    kept,
  }
}

/** How much a change stands out of the slow ones around it, such as light that falls off; 0: it is no boundary. */
function sharpness(changes: (Change | null)[], place: number, count: number, change: Change): number {
  const away = 2 * Math.round(0.8 * (stretch + between) * count)
  const slow = [changes[place - away], changes[place + away]].flatMap((other) =>
    other ? [change.mean.reduce((sum, v, c) => sum + (v * other.mean[c]!) / Math.max(change.size, 1e-9), 0)] : [],
  )
  // light falls off on both sides of a boundary
  const slope = Math.max(0, Math.min(...slow, change.size))
  const left = change.size - slope
  const isClear = left >= leastChange && change.clear * (left / change.size) >= leastClear && change.share >= leastShare
  return isClear ? left * change.share : 0
}

/** The place told apart for both halves of the lanes, and drawn on to both sides of the panel. */
function endsOf({ lanes, count, margin }: Lanes, sums: Float64Array[], place: number, { mean, kept }: Change) {
  const half = kept.length >> 1
  const [near, far] = [kept.slice(0, half), kept.slice(half)].map((some) => ({
    across: margin + ((1 - 2 * margin) * (some.reduce((sum, lane) => sum + lane, 0) / some.length + 0.5)) / lanes,
    ...spotIn(sums, count, some, place, mean),
  })) as [Spot, Spot]
  const apart = far.across - near.across
  // tape is laid straight across, to a degree or two
  const lean = apart < 0.25 ? 0 : Math.max(-mostLean, Math.min(mostLean, (far.along - near.along) / apart))
  const middle = { across: (near.across + far.across) / 2, along: (near.along + far.along) / 2 }
  const at = (across: number) => Math.min(0.999, Math.max(0.001, middle.along + lean * (across - middle.across)))
  return { from: at(0), to: at(1), abrupt: (near.abrupt + far.abrupt) / 2 }
}

type Spot = { across: number; along: number; abrupt: number }
const mostLean = 0.03

/** Change at a place in the direction of `mean`: the median of some lanes; null where the panel ends. */
function changeAlong(sums: Float64Array[], count: number, lanes: number[], mean: number[], place: number, times = 1) {
  const { left, leftEnd, right, rightEnd } = windowsAt(place, count, times)
  if (left < 0 || rightEnd > count) return null
  const size = Math.hypot(...mean)
  const step = (sum: Float64Array, lane: number) =>
    meanOver(sum, lane, count, right, rightEnd) - meanOver(sum, lane, count, left, leftEnd)
  return medianOf(lanes.map((lane) => sums.reduce((all, sum, c) => all + (step(sum, lane) * mean[c]!) / size, 0)))
}

/** Centre of the peak that the change makes around a place, and how abrupt it is there: 1 an edge, a half a slow change. */
function spotIn(sums: Float64Array[], count: number, lanes: number[], place: number, mean: number[]) {
  const reach = Math.round(0.6 * (stretch + between) * count) + 2
  const found: [number, number][] = []
  for (let at = place - reach; at <= place + reach; at++) {
    const change = changeAlong(sums, count, lanes, mean, at)
    if (change !== null) found.push([at, change])
  }
  const most = Math.max(...found.map(([, v]) => v))
  if (!(most > 0)) return { along: place / count, abrupt: 0 }
  let [weights, moment] = [0, 0]
  for (const [at, v] of found) {
    const weight = Math.max(0, v - 0.6 * most)
    weights += weight
    moment += weight * at
  }
  const centre = moment / weights
  const short = changeAlong(sums, count, lanes, mean, Math.round(centre), 0.5) ?? 0
  return { along: centre / count, abrupt: short / most }
}
