import { bitsApart, looksTheSame, mostBitsApart, quickLength } from '../../../shared-core/find/filing/fingerprint.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { areAlike } from '../../rack/queries/layouts.ts'
import { listQuickPrints, readPrints } from '../../rack/queries/proposals/looks.ts'

type Whose = { id: string; addedAt: string; width: number; height: number }

/** Finds photos that look the same: the oldest that is earlier than this one, and those that are later. */
export type Twins = {
  find(photo: Whose, fingerprint: string): Promise<{ alikeId: string | null; laterIds: string[] }>
  add(photoId: string, fingerprint: string): void
}

/** Photos whose whole fingerprints are compared. */
const mostCompared = 400

/** The beginnings of fingerprints stay in memory, 60 bytes for each photo that was ever looked at. */
export function makeTwins(db: Rack['db']): Twins {
  let known: Promise<Map<string, string>> | null = null
  const all = () => {
    known ??= listQuickPrints(db).then((rows) => new Map(rows.map(({ photoId, quick }) => [photoId, quick])))
    return known
  }
  return {
    find: async (photo, fingerprint) => {
      const near = [...(await all())]
        .filter(([id]) => id !== photo.id)
        .map(([id, quick]) => ({ id, apart: bitsApart(quick, fingerprint) }))
        .filter(({ apart }) => apart <= mostBitsApart)
        .toSorted((a, b) => a.apart - b.apart)
        .slice(0, mostCompared)
      if (near.length === 0) return { alikeId: null, laterIds: [] }
      const prints = await readPrints(
        db,
        near.map(({ id }) => id),
      )
      const alike = prints.filter(
        (other) => areAlike(other, photo) && other.fingerprint !== null && looksTheSame(other.fingerprint, fingerprint),
      )
      return {
        alikeId: alike.find((other) => isEarlier(other, photo))?.id ?? null,
        // a later one may have been looked at before this one was
        laterIds: alike.filter((other) => isEarlier(photo, other)).map(({ id }) => id),
      }
    },
    add: (photoId, fingerprint) => void known?.then((rows) => rows.set(photoId, fingerprint.slice(0, quickLength))),
  }
}

const isEarlier = (a: Pick<Whose, 'id' | 'addedAt'>, b: Pick<Whose, 'id' | 'addedAt'>): boolean =>
  a.addedAt < b.addedAt || (a.addedAt === b.addedAt && a.id < b.id)
