import type { MatchTarget, PhotoPoint } from '../../shared-core/contract/match-calls.ts'
import type { SideItem } from '../../shared-core/records/side.ts'

/** What is matched. In an address each is one piece: `ID`, `reading-ID`, `point*PHOTO*0,25*0,5`, `photo*PHOTO`, `all`. */
export type Target =
  | { kind: 'reference'; id: string }
  /** A reading of a panel. */
  | { kind: 'reading'; id: string }
  /** A point of a photo, not kept. */
  | ({ kind: 'point' } & PhotoPoint)
  /** A photo in which a point is still to be chosen. */
  | { kind: 'photo'; photoId: string }
  /** All that lie on the table. */
  | { kind: 'all' }

const ofReading = 'reading-'
/** Near all that lie on the table. */
export const allOnTable = 'all'

// four digits: less than a pixel of most photos; a full stop would look like a file's extension
const fraction = (value: number): string => String(Math.round(value * 1e4) / 1e4).replace('.', ',')
const number = (text = ''): number => (text === '' ? Number.NaN : Number(text.replace(',', '.')))

export const idOfPoint = ({ photoId, x, y }: PhotoPoint): string =>
  ['point', encodeURIComponent(photoId), fraction(x), fraction(y)].join('*')
export const idOfPhoto = (photoId: string): string => `photo*${encodeURIComponent(photoId)}`
export const idOfReading = (readingId: string): string => `${ofReading}${readingId}`

export function targetOf(id: string): Target {
  if (id === allOnTable) return { kind: 'all' }
  if (id.startsWith(ofReading)) return { kind: 'reading', id: id.slice(ofReading.length) }
  const [kind, photo, x, y, ...more] = id.split('*')
  if ((kind === 'point' || kind === 'photo') && photo && more.length === 0) {
    const photoId = unescaped(photo)
    if (kind === 'photo' && photoId !== null && x === undefined) return { kind, photoId }
    const [across, down] = [number(x), number(y)]
    if (kind === 'point' && photoId !== null && isShare(across) && isShare(down))
      return { kind, photoId, x: across, y: down }
  }
  return { kind: 'reference', id }
}

const isShare = (value: number): boolean => value >= 0 && value <= 1

function unescaped(text: string): string | null {
  try {
    return decodeURIComponent(text)
  } catch {
    return null // a broken escape: nothing that we ever wrote
  }
}

/** The reference that is kept in the rack; null for a panel's reading, a point, or all of the table. */
export function keptReference(id: string | null): string | null {
  const target = id === null ? null : targetOf(id)
  return target?.kind === 'reference' ? target.id : null
}

/** As it lies in Side by side. */
export function sideItemOf(id: string | null): SideItem | null {
  const target = id === null ? null : targetOf(id)
  return target === null || target.kind === 'photo' || target.kind === 'all' ? null : target
}

/** What is asked for, where it is one colour that needs no look-up. */
export function askedOf(target: Target): MatchTarget | null {
  if (target.kind === 'reading') return { readingId: target.id }
  if (target.kind !== 'point') return null
  const { photoId, x, y } = target
  return { photoId, x, y }
}
