import { differenceFrame } from '../colour/difference-frame.ts'
import { factorise, inverseFactored } from './cholesky.ts'
import type { FilmObservation } from './recipe.ts'

/**
 * A rack's readings as a least-squares problem. Beside the rack's unknowns each reading has its film build (ln δ), and
 * readings of one photo an error in common; these touch few readings, so that they are eliminated block by block.
 */

/** Mean length of a vector of three unit normals, √(8/π). */
export const meanLength = Math.sqrt(8 / Math.PI)
/** dE00 that the model itself is wrong by, mean length. */
export const modelNoise = 0.35
/** Uncleared surfaces scatter as they please: dE00, mean length. */
const unclearedNoise = 0.7
/** What a reading's own error and the model's are together before any photo's: dE00, mean length. */
export const ownNoise = ({ noise, finish }: Pick<FilmObservation, 'noise' | 'finish'>): number =>
  Math.hypot(noise, modelNoise, finish === 'uncleared' ? unclearedNoise : 0)
/** Film build: ln, of a panel as a whole and of its mixing. */
export const panelScatter = 0.03
export const mixingScatter = 0.02
/** Readings per block at most; a photo that joins more is an unknown of the whole rack. */
const mostInBlock = 24

export type Item = {
  observation: FilmObservation
  /** dE00 frame around the reading, row by row. */
  frame: Float64Array
  read: Float64Array
  sigma: number
  /** Errors that many readings of the rack have in common: where their three unknowns start. */
  wide: readonly { column: number; sigma: number }[]
}
/** Readings that share a panel or a photo. Local unknowns: δ of each item, then three per photo. */
export type Block = {
  items: Item[]
  /** Rows of `items` that each photo joins. */
  photos: { members: boolean[]; sigma: number }[]
  size: number
  /** Precision of the local unknowns before anything was read. */
  precision: Float64Array
  local: Float64Array
}

const sigmaOf = (noise: number): number => noise / meanLength

function itemOf(observation: FilmObservation): Item {
  const { lab } = observation
  return {
    observation,
    frame: differenceFrame(lab),
    read: Float64Array.of(lab.l, lab.a, lab.b),
    sigma: sigmaOf(ownNoise(observation)),
    wide: [],
  }
}

/** Which panels and how many readings an error joins, and its mean length. */
type Joined = { by: string; panels: Set<string>; count: number; noise: number }

function joinedBy(observations: readonly FilmObservation[]): Joined[] {
  const known = new Map<string, Joined>()
  for (const { panel, shared } of observations) {
    for (const { by, noise } of shared) {
      const joined = known.get(by) ?? { by, panels: new Set(), count: 0, noise }
      known.set(by, joined)
      joined.panels.add(panel)
      joined.count++
      joined.noise = Math.max(joined.noise, noise)
    }
  }
  return [...known.values()]
}

/** At most so many errors are unknowns of the whole rack; of the others each block has its own. */
const mostWide = 24

/**
 * Groups observations into blocks: by panel, and panels that share a photo as long as the block stays small. What joins
 * more (a set-up) becomes an unknown of the whole rack.
 * @param column  where the unknowns of wide errors may start
 */
export function blocksOf(
  observations: readonly FilmObservation[],
  column: number,
): { blocks: Block[]; wideCount: number } {
  const byPanel = new Map<string, FilmObservation[]>()
  for (const each of observations) {
    const list = byPanel.get(each.panel)
    if (list) list.push(each)
    else byPanel.set(each.panel, [each])
  }
  const home = new Map<string, string[]>([...byPanel.keys()].map((panel) => [panel, [panel]]))
  const sizeOf = (panels: readonly string[]) => panels.reduce((sum, panel) => sum + byPanel.get(panel)!.length, 0)
  const wide: Joined[] = []
  for (const joined of joinedBy(observations)) {
    const panels = [...new Set([...joined.panels].flatMap((panel) => home.get(panel)!))]
    if (sizeOf(panels) > mostInBlock && joined.panels.size > 1) wide.push(joined)
    else for (const panel of panels) home.set(panel, panels)
  }
  const columns = new Map(
    wide
      .toSorted((a, b) => b.count - a.count)
      .slice(0, mostWide)
      .map(({ by }, k) => [by, column + 3 * k]),
  )
  const blocks = [...new Set(home.values())].map((panels) =>
    blockOf(
      panels.flatMap((panel) => byPanel.get(panel)!),
      columns,
    ),
  )
  return { blocks, wideCount: columns.size }
}

function blockOf(observations: readonly FilmObservation[], wide: ReadonlyMap<string, number>): Block {
  const near = joinedBy(observations).filter(({ by }) => !wide.has(by))
  // an error that a single reading has is its own
  const joining = near.filter(({ count }) => count > 1)
  const alone = new Set(near.filter(({ count }) => count === 1).map(({ by }) => by))
  const items = observations.map((observation): Item => {
    const item = itemOf(observation)
    const own = observation.shared.filter(({ by }) => alone.has(by)).map(({ noise }) => sigmaOf(noise))
    item.sigma = Math.hypot(item.sigma, ...own)
    item.wide = observation.shared.flatMap(({ by, noise }) => {
      const at = wide.get(by)
      return at === undefined ? [] : [{ column: at, sigma: sigmaOf(noise) }]
    })
    return item
  })
  const photos = joining.map(({ by, noise }) => ({
    members: observations.map(({ shared }) => shared.some((each) => each.by === by)),
    sigma: sigmaOf(noise),
  }))
  const size = items.length + 3 * photos.length
  return { items, photos, size, precision: new Float64Array(size * size), local: new Float64Array(size) }
}

/** Covariance of ln build of two steps of one panel: n coats and m coats share the coats that lie lower. */
export const buildCovariance = (coatsA: number, coatsB: number, perCoat: number): number =>
  coatsA > 0 && coatsB > 0
    ? (perCoat ** 2 * Math.min(coatsA, coatsB)) / (coatsA * coatsB) + panelScatter ** 2 + mixingScatter ** 2
    : 0

/** Fills the precision of the local unknowns for a scatter per coat. */
export function setScatter(block: Block, perCoat: number): void {
  const { items, photos, size, precision } = block
  const m = items.length
  const covariance = new Float64Array(m * m)
  for (let i = 0; i < m; i++) {
    const a = items[i]!.observation
    for (let j = 0; j <= i; j++) {
      const b = items[j]!.observation
      const value = a.panel === b.panel ? buildCovariance(coatsOf(a), coatsOf(b), perCoat) : 0
      covariance[i * m + j] = value
      covariance[j * m + i] = value
    }
    // a step without film has no build; two readings of one step have the same, which must stay invertible
    covariance[i * m + i]! += covariance[i * m + i]! * 1e-6 + 1e-10
  }
  const factored = covariance.slice()
  if (!factorise(factored, m)) throw new RangeError('The scatter of the film build is not positive.')
  const inverse = inverseFactored(factored, m)
  precision.fill(0)
  for (let i = 0; i < m; i++) for (let j = 0; j < m; j++) precision[i * size + j] = inverse[i * m + j]!
  photos.forEach(({ sigma }, k) => {
    for (let c = 0; c < 3; c++) {
      const at = m + 3 * k + c
      precision[at * size + at] = 1 / sigma ** 2
    }
  })
}
const coatsOf = ({ dyes, coats }: FilmObservation): number => (dyes.length > 0 ? Math.max(coats, 0.25) : 0)
