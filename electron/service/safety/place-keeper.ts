import { v7 } from 'uuid'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { Backup, SecondPlace } from '../../../shared-core/records/backup.ts'
import type { Caution } from '../../../shared-core/records/photo.ts'
import { type Mirrored, mirror } from '../../rack/backups/second-place/mirror.ts'
import { foundPlace, onSameDisk, placeAbsent, readMarker } from '../../rack/backups/second-place/place.ts'
import type { Rack } from '../../rack/opening/open.ts'
import type { JobHandle, Jobs } from '../jobs.ts'
import type { Log } from '../log.ts'
import type { KeptPlace, SecondPlaces } from './second-places.ts'

/** What became of the second place beside a backup. */
export type Copied = { kind: 'none' } | { kind: 'whole'; mirrored: Mirrored } | { kind: 'failed'; why: Caution }

/** Keeps the second place of the open rack in step with it. */
export type PlaceKeeper = {
  /** Chooses a place, or none. Copies that lie in a place that is left stay there. @throws Refusal `second-place/…` */
  choose(rack: Rack, folder: string | null): Promise<void>
  describe(rack: Rack, last: Backup | null): Promise<SecondPlace | null>
  /** There is a place, it is there now, and not everything is in it. */
  wantsCopy(rack: Rack, last: Backup | null): Promise<boolean>
  /** Copies as a job of its own. @param asked  somebody waits for it and is told what it came to. @returns its id */
  start(rack: Rack, asked?: boolean): string
  /** Originals that were damaged are whole again: what kept everything from being copied is over. */
  originalsMended(rack: Rack): void
  /** Copies as part of a job. @param asked  somebody waits for it: otherwise a place that is absent is passed over */
  bringUpToDate(rack: Rack, job: JobHandle, asked: boolean): Promise<Copied>
  has(rack: Rack): boolean
  forget(): void
}

type Turns = { inTurn: <T>(work: () => Promise<T>) => Promise<T>; now: () => Date }

/** After an attempt that failed, or while the rack is worked on, the next one by itself comes so much later. */
const restMs = 30 * 60_000

export function makePlaceKeeper(
  { jobs, log, places }: { jobs: Jobs; log: Log; places: SecondPlaces },
  { inTurn, now }: Turns,
): PlaceKeeper {
  let trouble: Caution | null = null
  let triedAt = Number.NEGATIVE_INFINITY
  const placeOf = (rack: Rack): KeptPlace | null => places.get(rack.rackId)
  const isThere = async ({ folder, placeId }: KeptPlace) => (await readMarker(folder))?.placeId === placeId

  const copy = async (rack: Rack, place: KeptPlace, job: JobHandle): Promise<Mirrored> => {
    triedAt = now().getTime()
    try {
      const mirrored = await mirror(rack.folder, place, {
        signal: job.signal,
        onProgress: (stage, done, total) => job.progress(stage, done, total),
      })
      const { revision } = (await readMarker(place.folder)) ?? { revision: null }
      const { wholeAt, files, byteCount } = mirrored
      // another place may have been chosen meanwhile
      if (placeOf(rack)?.placeId === place.placeId)
        await places.set(rack.rackId, { ...place, wholeAt, revision, files, byteCount })
      trouble = mirrored.damaged.length > 0 ? damagedOriginals(mirrored) : null
      return mirrored
    } catch (error) {
      if (!job.signal.aborted)
        trouble =
          error instanceof Refusal
            ? { code: error.code, message: error.message, remedy: error.remedy }
            : log.unexpected(error, 'copying to the second place')
      throw error
    }
  }

  const bringUpToDate: PlaceKeeper['bringUpToDate'] = async (rack, job, asked) => {
    const place = placeOf(rack)
    if (!place) return { kind: 'none' }
    if (!asked && !(await isThere(place))) return { kind: 'none' }
    try {
      const mirrored = await copy(rack, place, job)
      return trouble ? { kind: 'failed', why: trouble } : { kind: 'whole', mirrored }
    } catch (error) {
      if (job.signal.aborted || !trouble) throw error
      // the backup itself stands: this is told beside it
      return { kind: 'failed', why: trouble }
    }
  }

  const start: PlaceKeeper['start'] = (rack, asked = false) => {
    const id = v7()
    jobs.start({ id, kind: 'backup', label: 'Copying to the second place', total: 0, rackFolder: rack.folder }, (job) =>
      inTurn(async () => {
        job.signal.throwIfAborted()
        const place = placeOf(rack)
        if (!place) return
        const { files } = await copy(rack, place, job)
        if (asked) job.conclude(trouble ? `${trouble.message} ${trouble.remedy}` : copiedInWords(files), !trouble)
      }),
    )
    return id
  }

  return {
    choose: async (rack, folder) => {
      trouble = null
      triedAt = Number.NEGATIVE_INFINITY
      if (folder === null) return places.set(rack.rackId, null)
      const { name } = await rack.db.selectFrom('rack_info').select('name').executeTakeFirstOrThrow()
      const found = await foundPlace(folder, { folder: rack.folder, rackId: rack.rackId, rackName: name })
      const { placeId, wholeAt, revision, files, byteCount } = found.marker
      await places.set(rack.rackId, {
        chosen: folder,
        folder: found.folder,
        placeId,
        wholeAt,
        revision,
        files,
        byteCount,
      })
    },
    describe: async (rack, last) => {
      const place = placeOf(rack)
      if (!place) return null
      const marker = await readMarker(place.folder)
      const there = marker?.placeId === place.placeId
      const { wholeAt, revision, files, byteCount } = there && marker ? marker : place
      const isBehind = last !== null && revision !== (last.facts?.revision ?? null)
      const state = !there ? 'absent' : trouble ? 'failed' : wholeAt === null ? 'never' : isBehind ? 'behind' : 'whole'
      return {
        chosen: place.chosen,
        folder: place.folder,
        state,
        wholeAt,
        photos: files,
        byteCount,
        sameDisk: there && (await onSameDisk(place.folder, rack.folder)),
        trouble: there ? trouble : cautionOf(placeAbsent()),
      }
    },
    wantsCopy: async (rack, last) => {
      const place = placeOf(rack)
      if (!place || now().getTime() - triedAt < restMs || !(await isThere(place))) return false
      if (place.wholeAt === null || place.revision !== (last?.facts?.revision ?? null) || trouble) return true
      // photos come in between two backups
      const { revision } = await rack.db.selectFrom('rack_info').select('revision').executeTakeFirstOrThrow()
      return revision !== place.revision
    },
    start,
    originalsMended: (rack) => {
      if (trouble?.code !== originalsDamaged) return
      trouble = null
      triedAt = Number.NEGATIVE_INFINITY
      start(rack)
    },
    bringUpToDate,
    has: (rack) => placeOf(rack) !== null,
    forget: () => {
      trouble = null
      triedAt = Number.NEGATIVE_INFINITY
    },
  }
}

const cautionOf = ({ code, message, remedy }: Refusal): Caution => ({ code, message, remedy })

const originalsDamaged = 'second-place/originals-damaged'

function damagedOriginals({ damaged, copiedBefore }: Mirrored): Caution {
  const count = damaged.length
  const [are, were] = count === 1 ? ['One original', 'was'] : [`${count} originals`, 'were']
  const here = `${are} in the rack’s folder ${count === 1 ? 'is' : 'are'} damaged`
  return {
    code: originalsDamaged,
    message:
      copiedBefore === count
        ? `${here}; the ${count === 1 ? 'copy' : 'copies'} made before ${were} left as ${count === 1 ? 'it is' : 'they are'}.`
        : `${here} and ${were} not copied.`,
    remedy: 'Open “Check and repair”: it looks for whole copies, also in the second place.',
  }
}

const copiedInWords = (files: number): string =>
  `The second place is up to date: ${files === 1 ? '1 file' : `${files} files`} beside the records.`
