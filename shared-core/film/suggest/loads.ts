import { labOver, type OverGround, type Room } from './over-ground.ts'

/** What is aimed at: a colour, and dE00 around it as a linear frame (see `differenceFrame`). */
export type Goal = { lab: Float64Array; frame: Float64Array }
/** Loads of all dyes together that the cup and the coats allow. */
export type LoadRange = { least: number; most: number }

const mostSteps = 12
const mostHalvings = 4

/** One search at a time: nothing is allocated in its loops. */
const loadsTried = new Float64Array(3)
const rest = new Float64Array(3)
const framedSlopes = new Float64Array(9)
const normal = new Float64Array(9)
const gradient = new Float64Array(3)
const step = new Float64Array(3)
const ones = new Float64Array(3)
const isFree = [true, true, true]

/** Squared distance in the goal's frame; leaves what is left over in `rest`. */
function distance({ lab, frame }: Goal, room: Room): number {
  const dl = room.lab[0]! - lab[0]!
  const da = room.lab[1]! - lab[1]!
  const db = room.lab[2]! - lab[2]!
  let sum = 0
  for (let c = 0; c < 3; c++) {
    const value = frame[3 * c]! * dl + frame[3 * c + 1]! * da + frame[3 * c + 2]! * db
    rest[c] = value
    sum += value * value
  }
  return sum
}

/** Loads into the range: none below 0, their sum between least and most. */
function confine(loads: Float64Array, count: number, { least, most }: LoadRange): void {
  let sum = 0
  for (let j = 0; j < count; j++) {
    if (!(loads[j]! > 0)) loads[j] = 0
    sum += loads[j]!
  }
  if (sum === 0) for (let j = 0; j < count; j++) loads[j] = least / count
  else if (sum > most || sum < least) {
    const by = (sum > most ? most : least) / sum
    for (let j = 0; j < count; j++) loads[j]! *= by
  }
}

/** Solves the normal equations for the free dyes, damped a little; `x` is overwritten, 0 for the others. */
function solve(x: Float64Array, count: number): void {
  const m = normal
  let trace = 0
  for (let j = 0; j < count; j++) trace += m[4 * j]!
  const by = 1e-6 * trace + 1e-12
  const a = isFree[0]! ? m[0]! + by : 1
  const d = count > 1 && isFree[1]! ? m[4]! + by : 1
  const f = count > 2 && isFree[2]! ? m[8]! + by : 1
  const b = isFree[0]! && count > 1 && isFree[1]! ? m[1]! : 0
  const c = isFree[0]! && count > 2 && isFree[2]! ? m[2]! : 0
  const e = count > 2 && isFree[1]! && isFree[2]! ? m[5]! : 0
  const x0 = isFree[0]! ? x[0]! : 0
  const x1 = count > 1 && isFree[1]! ? x[1]! : 0
  const x2 = count > 2 && isFree[2]! ? x[2]! : 0
  // Cholesky of three
  const l00 = Math.sqrt(a)
  const l10 = b / l00
  const l20 = c / l00
  const l11 = Math.sqrt(Math.max(d - l10 * l10, 1e-12))
  const l21 = (e - l20 * l10) / l11
  const l22 = Math.sqrt(Math.max(f - l20 * l20 - l21 * l21, 1e-12))
  const y0 = x0 / l00
  const y1 = (x1 - l10 * y0) / l11
  const y2 = (x2 - l20 * y0 - l21 * y1) / l22
  const z2 = y2 / l22
  const z1 = (y1 - l21 * z2) / l11
  x[2] = z2
  x[1] = z1
  x[0] = (y0 - l10 * z1 - l20 * z2) / l00
}

/** Gauss and Newton's step within the range: dyes at 0 that want to go below stay, a full cup stays full. */
function stepFrom(loads: Float64Array, count: number, range: LoadRange): void {
  let sum = 0
  for (let j = 0; j < count; j++) {
    sum += loads[j]!
    isFree[j] = loads[j]! > 0 || gradient[j]! < 0
    step[j] = -gradient[j]!
  }
  solve(step, count)
  let change = 0
  for (let j = 0; j < count; j++) change += step[j]!
  const isFull = sum >= range.most * (1 - 1e-9) && change > 0
  const isThin = sum <= range.least * (1 + 1e-9) && change < 0
  if (!isFull && !isThin) return
  ones.fill(1)
  solve(ones, count)
  let whole = 0
  for (let j = 0; j < count; j++) whole += ones[j]!
  for (let j = 0; j < count; j++) step[j]! -= (ones[j]! * change) / whole
}

function slopesInFrame({ frame }: Goal, room: Room, count: number): void {
  const { slopes } = room
  for (let c = 0; c < 3; c++)
    for (let j = 0; j < count; j++)
      framedSlopes[3 * c + j] =
        frame[3 * c]! * slopes[j]! + frame[3 * c + 1]! * slopes[3 + j]! + frame[3 * c + 2]! * slopes[6 + j]!
  for (let i = 0; i < count; i++) {
    gradient[i] = framedSlopes[i]! * rest[0]! + framedSlopes[3 + i]! * rest[1]! + framedSlopes[6 + i]! * rest[2]!
    for (let j = 0; j <= i; j++) {
      const value =
        framedSlopes[i]! * framedSlopes[j]! +
        framedSlopes[3 + i]! * framedSlopes[3 + j]! +
        framedSlopes[6 + i]! * framedSlopes[6 + j]!
      normal[3 * i + j] = value
      normal[3 * j + i] = value
    }
  }
}

/**
 * Loads that come nearest to a colour, by projected Gauss–Newton from where `loads` stand; changed in place.
 * @returns  squared distance in the goal's frame
 */
export function descend(
  ground: OverGround,
  dyes: readonly Float64Array[],
  loads: Float64Array,
  range: LoadRange,
  goal: Goal,
  room: Room,
): number {
  const count = dyes.length
  confine(loads, count, range)
  labOver(ground, dyes, loads, count, room, true)
  let cost = distance(goal, room)
  for (let k = 0; k < mostSteps; k++) {
    slopesInFrame(goal, room, count)
    stepFrom(loads, count, range)
    let gain = 0
    for (let half = 0, by = 1; half < mostHalvings; half++, by /= 2) {
      for (let j = 0; j < count; j++) loadsTried[j] = loads[j]! + by * step[j]!
      confine(loadsTried, count, range)
      labOver(ground, dyes, loadsTried, count, room, true)
      const tried = distance(goal, room)
      if (tried < cost) {
        gain = cost - tried
        cost = tried
        for (let j = 0; j < count; j++) loads[j] = loadsTried[j]!
        break
      }
    }
    if (gain <= 1e-3 * cost || cost < 1e-4) break
  }
  return cost
}

/** Squared distance without moving. */
export function distanceAt(
  ground: OverGround,
  dyes: readonly Float64Array[],
  loads: Float64Array,
  goal: Goal,
  room: Room,
): number {
  labOver(ground, dyes, loads, dyes.length, room, false)
  return distance(goal, room)
}

/** How what is left over moves with the loads, in the goal's frame: what whole numbers near these loads are judged by. */
export function linearAt(
  ground: OverGround,
  dyes: readonly Float64Array[],
  loads: Float64Array,
  goal: Goal,
  room: Room,
): { rest: Float64Array; slopes: Float64Array } {
  labOver(ground, dyes, loads, dyes.length, room, true)
  distance(goal, room)
  slopesInFrame(goal, room, dyes.length)
  return { rest: rest.slice(), slopes: framedSlopes.slice() }
}
