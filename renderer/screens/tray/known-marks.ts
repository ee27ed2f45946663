import type { Card, Chart, Point, Quad, Tile } from '../../../shared-core/records/area.ts'
import type { Settings } from '../../../shared-core/records/settings.ts'
import type { Marks } from './marks.ts'

/** Marks whose colour is known beforehand: the card, further tiles by their place in the list, the chart. */
export type TileKey = `tile ${number}`
export type KnownKey = 'card' | 'chart' | TileKey
export type TileKind = Tile['kind']

/** As many as a layout holds. */
export const mostTiles = 8

export const tileKey = (index: number): TileKey => `tile ${index}`
const indexOf = (key: TileKey): number => Number(key.slice('tile '.length))

export function knownAt(marks: Marks, key: KnownKey): Card | Tile | Chart | null {
  if (key === 'card') return marks.card
  if (key === 'chart') return marks.chart
  return marks.tiles[indexOf(key)] ?? null
}

/** Card, tiles, chart: in the order in which keys and lists walk them. */
export function knownKeysOf({ card, tiles, chart }: Marks): KnownKey[] {
  return [
    ...(card ? (['card'] as const) : []),
    ...tiles.map((_, i) => tileKey(i)),
    ...(chart ? (['chart'] as const) : []),
  ]
}

function changeTile(marks: Marks, key: TileKey, change: (tile: Tile) => Tile): Marks {
  return { ...marks, tiles: marks.tiles.map((tile, i) => (i === indexOf(key) ? change(tile) : tile)) }
}

export function withQuad(marks: Marks, key: KnownKey, change: (quad: Quad) => Quad): Marks {
  if (key === 'card') return marks.card ? { ...marks, card: { ...marks.card, quad: change(marks.card.quad) } } : marks
  if (key === 'chart')
    return marks.chart ? { ...marks, chart: { ...marks.chart, quad: change(marks.chart.quad) } } : marks
  return changeTile(marks, key, (tile) => ({ ...tile, quad: change(tile.quad) }))
}

/** Changes the known Lab of a card or tile; a chart's colours are those of its table. */
export function withLab(marks: Marks, key: KnownKey, lab: Partial<Card['lab']>): Marks {
  if (key === 'chart') return marks
  if (key === 'card')
    return marks.card ? { ...marks, card: { ...marks.card, lab: { ...marks.card.lab, ...lab } } } : marks
  return changeTile(marks, key, (tile) => ({ ...tile, lab: { ...tile.lab, ...lab } }))
}

export function withoutKnown(marks: Marks, key: KnownKey): Marks {
  if (key === 'card') return { ...marks, card: null }
  if (key === 'chart') return { ...marks, chart: null }
  return { ...marks, tiles: marks.tiles.filter((_, i) => i !== indexOf(key)) }
}

/** The Lab that a newly marked tile is taken to have: another grey starts from the card's, to be written over. */
export function usualLab(kind: TileKind, settings: Settings): Tile['lab'] {
  if (kind === 'white') return settings.whiteTile
  return kind === 'black' ? settings.blackTile : settings.card
}

const tileNames: Record<TileKind, string> = { white: 'White tile', grey: 'Another grey', black: 'Black tile' }
const tilePlates: Record<TileKind, string> = { white: 'white', grey: 'grey', black: 'black' }

export function nameOfKnown(marks: Marks, key: KnownKey): string {
  if (key === 'card') return 'Grey card'
  if (key === 'chart') return '24-patch chart'
  const tile = marks.tiles[indexOf(key)]
  return tile ? tileNames[tile.kind] : 'Tile'
}

/** The word on its plate. */
export function plateOfKnown(marks: Marks, key: KnownKey): string {
  if (key === 'card' || key === 'chart') return key
  const tile = marks.tiles[indexOf(key)]
  return tile ? tilePlates[tile.kind] : 'tile'
}

/** The outline of a chart starts at patch 1, dark skin; its other corners follow clockwise. */
export const chartCorners = [
  'Patch 1, dark skin',
  'Patch 6, bluish green',
  'Patch 24, black',
  'Patch 19, white',
] as const

const turned = ([a, b, c, d]: Quad, quarters: number): Quad =>
  [a, b, c, d].map((_, i) => [a, b, c, d][(i + quarters) % 4]!) as Quad

/** Patch 1 moves on to the next corner, clockwise. */
export function turnChart(marks: Marks): Marks {
  return withQuad(marks, 'chart', (quad) => turned(quad, 1))
}

/**
 * Which corner a new chart's outline starts at. Clicked, it is the first corner clicked; dragged, the long side carries
 * six patches, from the left or from the top.
 * @param quad   clockwise from the top left
 */
export function startedAt(quad: Quad, clicked: Point | null): Quad {
  if (clicked) {
    const first = quad.findIndex(([x, y]) => x === clicked[0] && y === clicked[1])
    return turned(quad, Math.max(first, 0))
  }
  const [a, b, c] = quad
  const tall = Math.hypot(c[0] - b[0], c[1] - b[1]) > Math.hypot(b[0] - a[0], b[1] - a[1])
  return tall ? turned(quad, 1) : quad
}
