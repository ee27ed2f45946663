import { mostBeside, SideItem } from '../../shared-core/records/side.ts'

/** How things laid beside each other are shown. */
export type SideHow = {
  shows: 'photos' | 'colours'
  /** Quarter turns of the whole row: 0 from left to right, 1 from top to bottom, 2 from right to left, 3 from bottom to top. */
  turned: 0 | 1 | 2 | 3
  /** Names, figures and words, which could lead the eye. */
  names: boolean
  /** Each against its neighbour, or each against the first. */
  against: 'neighbour' | 'first'
}

export const usualHow: SideHow = { shows: 'photos', turned: 0, names: true, against: 'neighbour' }

export type Side = { items: readonly SideItem[]; how: SideHow }

/*
 * Pieces of an address: `reading*ID`, `point*PHOTO*0,25*0,5`, then what is not as usual: `colours`, `turned*2`, `unnamed`, `first`. As
 * in addresses of Plan a full stop would look like a file's extension.
 */

const escaped = (id: string): string =>
  encodeURIComponent(id).replaceAll(/[*!~.]/g, (sign) => `%${sign.charCodeAt(0).toString(16).toUpperCase()}`)
/** Four digits tell points of a photo apart that are less than a pixel from each other on most of them. */
const fraction = (value: number): string => String(Math.round(value * 1e5) / 1e5).replace('.', ',')

const itemToPiece = (item: SideItem): string =>
  item.kind === 'point'
    ? ['point', escaped(item.photoId), fraction(item.x), fraction(item.y)].join('*')
    : `${item.kind}*${escaped(item.id)}`

export function sideToPieces({ items, how }: Side): string[] {
  return [
    ...items.map(itemToPiece),
    ...(how.shows === 'colours' ? ['colours'] : []),
    ...(how.turned === 0 ? [] : [`turned*${how.turned}`]),
    ...(how.names ? [] : ['unnamed']),
    ...(how.against === 'first' ? ['first'] : []),
  ]
}

/** @param pieces  decoded once; what is none of ours is left out */
export function piecesToSide(pieces: readonly string[]): Side {
  const items = pieces.flatMap((piece) => pieceToItem(piece) ?? []).slice(0, mostBeside)
  const turned = Number(pieces.find((piece) => /^turned\*[123]$/.test(piece))?.slice('turned*'.length) ?? 0)
  return {
    items,
    how: {
      shows: pieces.includes('colours') ? 'colours' : 'photos',
      turned: turned as SideHow['turned'],
      names: !pieces.includes('unnamed'),
      against: pieces.includes('first') ? 'first' : 'neighbour',
    },
  }
}

function pieceToItem(piece: string): SideItem | null {
  const [kind, id = '', x, y] = piece.split('*')
  try {
    const known = decodeURIComponent(id)
    const number = (text = '') => (text === '' ? Number.NaN : Number(text.replace(',', '.')))
    const read = SideItem.safeParse(
      kind === 'point' ? { kind, photoId: known, x: number(x), y: number(y) } : { kind, id: known },
    )
    return read.success && id !== '' ? read.data : null
  } catch {
    return null // a broken escape: nothing that we ever wrote
  }
}
