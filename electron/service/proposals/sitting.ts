import type { FiledPhoto, PilePhoto } from '../../rack/queries/proposals/pile.ts'

/** What photos of one sitting say of each other. */

/** Two photos of one light lie no further apart. Our own figure, no source. */
const sittingMs = 30 * 60_000
/** A panel is photographed anew within so many hours, or it is another look at it. Our own figure, no source. */
const retakeMs = 12 * 3_600_000

/** By the camera's clock: what it says of its time zone, or leaves out, is the same for all of its photos. */
const clock = (takenAt: string): number => milliseconds(`${takenAt.slice(0, 19)}Z`)

/** Photos of one panel are compared with each other, so that each time is asked for again and again. */
const parsed = new Map<string, number>()
function milliseconds(time: string): number {
  const known = parsed.get(time)
  if (known !== undefined) return known
  if (parsed.size > 10_000) parsed.clear()
  const at = Date.parse(time)
  parsed.set(time, at)
  return at
}

export type Shot = { takenAt: string; lightId: string }

/**
 * The light of the photo taken next before or after, in the same sitting; else the one used last that day, before this photo.
 * @param shots  of the same camera, in the order of their times
 */
export function lightOfSitting(takenAt: string, shots: readonly Shot[]): string | null {
  const at = clock(takenAt)
  const day = takenAt.slice(0, 10)
  let nearest: { shot: Shot; apart: number } | null = null
  let last: Shot | null = null
  for (const shot of shots) {
    const then = clock(shot.takenAt)
    const apart = Math.abs(then - at)
    if (!nearest || apart < nearest.apart) nearest = { shot, apart }
    if (then <= at && shot.takenAt.startsWith(day)) last = shot
  }
  if (nearest && nearest.apart <= sittingMs) return nearest.shot.lightId
  return last?.lightId ?? null
}

type Taken = Pick<PilePhoto, 'id' | 'name' | 'takenAt' | 'addedAt' | 'view'>

/** When a photo was taken against another: by the camera's clock where both have one, else by when they came in. */
function timeBetween(a: Taken, b: Taken): number {
  if (a.takenAt !== null && b.takenAt !== null) return clock(a.takenAt) - clock(b.takenAt)
  return milliseconds(a.addedAt) - milliseconds(b.addedAt)
}

export type RetakeOf = { photoId: string; name: string; filed: boolean }

/**
 * The photo of the same panel and view that a photo seems to be taken again for: one that is filed, the nearest in time; else the
 * one before it in the tray, or after it where it is the first. While several wait none of them is sure: the painter decides.
 * @param tray   all photos of the tray that show the panel
 * @param filed  all photos that are filed to it
 * @param isRival  whether one that was taken afterwards could be filed in its stead
 */
export function retakeOf(
  photo: Taken,
  tray: readonly Taken[],
  filed: readonly FiledPhoto[],
  isRival: (other: Taken) => boolean = () => true,
): RetakeOf | null {
  const near = (other: Taken) =>
    other.id !== photo.id && other.view === photo.view && Math.abs(timeBetween(other, photo)) <= retakeMs
  const there = filed
    .filter(near)
    .toSorted((a, b) => Math.abs(timeBetween(a, photo)) - Math.abs(timeBetween(b, photo)))[0]
  if (there) return { photoId: there.id, name: there.name, filed: true }
  const isBefore = (other: Taken) =>
    timeBetween(other, photo) < 0 || (timeBetween(other, photo) === 0 && other.id < photo.id)
  const others = tray.filter(near)
  const before = others.filter(isBefore).toSorted((a, b) => timeBetween(b, a) || (a.id < b.id ? 1 : -1))[0]
  const after = others.filter(isRival).toSorted((a, b) => timeBetween(a, b) || (a.id < b.id ? -1 : 1))[0]
  const other = before ?? after
  return other ? { photoId: other.id, name: other.name, filed: false } : null
}
