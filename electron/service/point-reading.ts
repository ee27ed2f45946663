import { v7 } from 'uuid'
import type { PhotoPoint } from '../../shared-core/contract/match-calls.ts'
import { Refusal } from '../../shared-core/contract/refusal.ts'
import type { Layout, Point, Quad, Shape } from '../../shared-core/records/area.ts'
import type { Photo } from '../../shared-core/records/photo.ts'
import type { Reading, Reference } from '../../shared-core/records/reading.ts'
import type { Rack } from '../rack/opening/open.ts'
import { sameShape, saveLayout } from '../rack/queries/layouts.ts'
import { readPhotoRecord } from '../rack/queries/photos.ts'
import { addReading } from '../rack/queries/readings.ts'
import { addReference, getReference } from '../rack/queries/references.ts'
import { readSetup } from '../rack/queries/setups.ts'
import { readOriginal, sheetHelp } from './originals.ts'

/** Share of the photo's shorter side that a point reaches around itself. */
const reach = 1 / 50

/** The last few points read are kept: asking again with other filters decodes no photo. */
const mostKept = 16

/** A photo's marks and among them a small area around a point of it, moved inside where it lies at the edge. */
export function layoutWithPoint(photo: Photo, point: Pick<PhotoPoint, 'x' | 'y'>): { layout: Layout; at: number } {
  return withArea(photo.layout, shapeAt(photo, point))
}

function withArea(layout: Layout, shape: Shape): { layout: Layout; at: number } {
  const { areas } = layout
  const there = areas.findIndex((area) => area.stepId === null && sameShape(area.shape, shape))
  if (there >= 0) return { layout, at: there }
  return { layout: { ...layout, areas: [...areas, { stepId: null, shape }] }, at: areas.length }
}

/** Where somebody drew a flat area the point is flat, too; elsewhere it may be a curved part, of a larger bound. */
function shapeAt(photo: Photo, point: Pick<PhotoPoint, 'x' | 'y'>): Shape {
  const { centre, radius } = discAt(photo, point)
  const isFlat = photo.layout.areas.some(({ shape }) => shape.kind === 'quad' && reaches(shape.quad, centre, 0))
  if (!isFlat) return { kind: 'round', centre, radius }
  const [x, y] = centre
  const corner = (across: number, down: number): Point => [x + across * radius, y + down * radius]
  return { kind: 'quad', quad: [corner(-1, -1), corner(1, -1), corner(1, 1), corner(-1, 1)] }
}

function discAt(photo: Photo, { x, y }: Pick<PhotoPoint, 'x' | 'y'>): { centre: Point; radius: number } {
  const radius = reach * Math.min(photo.width, photo.height)
  const within = (value: number, side: number) => Math.min(side - radius, Math.max(radius, value))
  return { centre: [within(x * photo.width, photo.width), within(y * photo.height, photo.height)], radius }
}

/** Reads the colour at a point of a photo for the asking; nothing is kept. @throws Refusal where it cannot be read */
export async function readPointOf(rack: Rack, point: PhotoPoint): Promise<Reading> {
  return readKept(rack, await readPhotoRecord(rack.db, point.photoId), point)
}

/** By all that a point was read with; the rack that is closed takes them along. */
const lastRead = new WeakMap<Rack, Map<string, Promise<Reading>>>()

async function readKept(rack: Rack, photo: Photo, point: PhotoPoint): Promise<Reading> {
  const { setupId, flatPhotoId } = photo
  const setup = setupId === null ? null : await readSetup(rack.db, setupId)
  const sheet = flatPhotoId === null ? null : await readPhotoRecord(rack.db, flatPhotoId)
  // areas of paint say nothing of each other's colour, only whether the point is flat
  const bare = { ...photo, layout: { ...photo.layout, areas: [] } }
  const printed = await sheetHelp(rack.db, photo, photo.layout, {})
  const key = JSON.stringify([bare, setup?.fit, sheet?.sha256, printed, point.x, point.y, shapeAt(photo, point).kind])
  const kept = lastRead.get(rack) ?? new Map<string, Promise<Reading>>()
  lastRead.set(rack, kept)
  const reading = kept.get(key) ?? readAt(rack, photo, point)
  kept.delete(key)
  kept.set(key, reading)
  for (const oldest of kept.keys()) if (kept.size > mostKept) kept.delete(oldest)
  try {
    return await reading
  } catch (error) {
    // a file that was missing may be there next time
    if (kept.get(key) === reading) kept.delete(key)
    throw error
  }
}

async function readAt(rack: Rack, photo: Photo, point: PhotoPoint): Promise<Reading> {
  const { setupId, flatPhotoId, layout } = photo
  const { centre, radius } = discAt(photo, point)
  mustBePaint(layout, centre, radius)
  const alone = { ...layout, areas: [{ stepId: null, shape: shapeAt(photo, point) }] }
  const [result] = (await readOriginal(rack, photo, alone, { setupId, flatPhotoId })).results
  if (!result?.colour) {
    const why = result?.refused
    throw new Refusal(
      'photo/nothing-readable',
      why?.message ?? 'The colour at this point could not be read.',
      why?.remedy ?? 'Choose another point.',
    )
  }
  // off by 20 dE00 or more: the nearest panels to it would be no answer
  if (result.colour.level === 'uncalibrated')
    throw new Refusal(
      'photo/no-card',
      `No grey card is read in ${photo.name}, so a colour in it cannot be told yet.`,
      'Open the photo in the Tray and mark its card, or choose a photo with the card in it.',
    )
  return {
    ...result.colour,
    id: `point:${photo.id}:${point.x}:${point.y}`,
    stepId: null,
    referenceId: null,
    photoId: photo.id,
    areaId: null,
    cut: null,
    setupId,
    lightId: photo.lightId,
    view: photo.view,
    stage: photo.stage,
    ageDays: null,
    takenAt: photo.exposure.takenAt ?? photo.addedAt,
  }
}

/** @throws Refusal for a point that reaches onto something whose colour is entered, not read */
function mustBePaint({ card, tiles = [], chart }: Layout, centre: Point, radius: number): void {
  const known: [string, Quad | undefined][] = [
    ['the grey card', card?.quad],
    ...tiles.map(({ kind, quad }): [string, Quad] => [`the ${kind} tile`, quad]),
    ['the colour chart', chart?.quad],
  ]
  for (const [name, quad] of known) {
    if (!quad || !reaches(quad, centre, radius)) continue
    throw new Refusal(
      'photo/nothing-readable',
      `This point lies on ${name} or at its edge: its colour is the one that was entered for it.`,
      `Choose a point of the paint, away from ${name}.`,
    )
  }
}

/** Whether a disc and an outline overlap. */
function reaches(outline: readonly Point[], [x, y]: Point, radius: number): boolean {
  let inside = false
  for (const [i, [ax, ay]] of outline.entries()) {
    const [bx, by] = outline[(i + 1) % outline.length]!
    const [dx, dy] = [bx - ax, by - ay]
    const along = Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy || 1)))
    if (Math.hypot(ax + along * dx - x, ay + along * dy - y) < radius) return true
    if (ay > y !== by > y && x < ax + ((y - ay) * dx) / dy) inside = !inside
  }
  return inside
}

/** Keeps the colour at a point of a photo as a reference. Whether the photo waits in the tray does not change. */
export async function keepPoint(rack: Rack, { name, ...point }: PhotoPoint & { name: string }): Promise<Reference> {
  const photo = await readPhotoRecord(rack.db, point.photoId)
  const reading = await readKept(rack, photo, point)
  return rack.change({ label: `add reference ${name}` }, async (change) => {
    // reading a photo takes a while, in which its marks may have changed
    const now = await readPhotoRecord(change.db, photo.id)
    const { layout, at } = withArea(now.layout, shapeAt(photo, point))
    const area = (await saveLayout(change, photo, layout))[at]
    if (!area) throw new Error('A point that was kept without its area')
    const referenceId = v7()
    await addReference(change, referenceId, name)
    await addReading(change, { ...reading, id: v7(), referenceId, areaId: area.id, cut: area.cutKey })
    return getReference(change.db, referenceId)
  })
}
