import { quadOf, type Rectangle } from '../../../electron/service/demonstration/picture/geometry.ts'
import type { Random } from '../../../electron/service/demonstration/random.ts'
import type { Lab } from '../../../shared-core/colour/lab.ts'
import { apply3 } from '../../../shared-core/colour/matrix.ts'
import type { Card, Layout, Quad, Tile } from '../../../shared-core/records/area.ts'
import { cornersOf, markOn, rectangle, shaken } from './picture/place.ts'
import type { Shot } from './picture/shot.ts'
import type { Placed } from './scene.ts'
import { labOf } from './spectra/paints.ts'
import type { Trouble } from './wish.ts'

const rounded = ({ l, a, b }: Lab): Lab => ({ l: round1(l), a: round1(a), b: round1(b) })
const round1 = (v: number): number => Math.round(10 * v) / 10

type ToMark = Placed & { toPhoto: Shot['toPhoto']; trouble: Trouble | null }

/** What a user marks, and the Lab that stands on the back of card and tiles. */
export function markAll(
  random: Random,
  { toPhoto, things, cardOn, tilesOn, chartOn, panelsOn, trouble }: ToMark,
): Layout {
  const mark = (on: Rectangle): Quad => markOn(random, cornersOf(toPhoto, on))
  const flats = things.flatMap((thing) => (thing.what === 'flat' ? [thing] : []))
  const labOn = (on: Rectangle): Lab => rounded(labOf(flats.find((flat) => flat.on === on)!.reflectance))
  const card: Card = { quad: mark(cardOn), lab: labOn(cardOn) }
  const tiles = tilesOn.map(
    (on): Tile => ({ quad: mark(on), lab: labOn(on), kind: labOn(on).l > 70 ? 'white' : 'black' }),
  )
  const areas = panelsOn.map((on) => {
    const quad = trouble === 'tiny-area' ? tiny(random, toPhoto, on) : mark(on)
    return { stepId: null, shape: { kind: 'quad' as const, quad } }
  })
  const layout: Layout = { areas, card }
  if (tiles.length > 0) layout.tiles = tiles
  if (chartOn) layout.chart = { quad: shaken(random, quadOf(toPhoto, chartOn), 0.5), table: 'avg30' }
  return layout
}

function tiny(random: Random, toPhoto: Shot['toPhoto'], on: Rectangle): Quad {
  const [x, y, w] = apply3(toPhoto, [on.xMm + random.between(-20, 20), on.yMm + random.between(-20, 20), 1])
  const [halfW, halfH] = [random.between(3, 8), random.between(3, 8)]
  return rectangle(x / w - halfW, y / w - halfH, x / w + halfW, y / w + halfH)
}
