import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { IntakeItem } from '../../../shared-core/records/job.ts'
import { syncShelves } from '../../rack/disk/photo-store.ts'
import type { Rack } from '../../rack/opening/open.ts'
import { type Hint, keepHint } from '../../rack/queries/hints.ts'
import { endFile, type IntakeFile } from '../../rack/queries/intakes.ts'
import { endWatched } from '../../rack/queries/watched.ts'
import { isDiskFull } from '../../rack/refusals.ts'
import type { Log } from '../log.ts'
import { addPrepared, Gone, type Prepared } from '../take-in.ts'
import type { Sitting } from './sitting.ts'

/** What a file has come to: a photo that only lacks its row, or a fate that is settled. */
export type Met = Prepared | IntakeItem

type Keeping = {
  /** The intake, and the change that it makes. */
  id: string
  label: string
  /** When its files were handed over. */
  began: Date
  log: Log
  /** Told of each file whose fate is safe on the drive. */
  met: (file: IntakeFile, item: IntakeItem) => Promise<void>
  sitting: Sitting | undefined
}

/** Keeps photos several at a time: one transaction, and one wait for the drive, for all of them. */
export type Keeper = {
  /** Comes back at once, or when the photos so far are kept, so that they cannot pile up. @throws what keeping them threw */
  add(file: IntakeFile, met: Met): Promise<void>
  /** Keeps all there are. */
  flush(): Promise<void>
  /** The change that the photos belong to. */
  changeId(): string
}

/** At most this many in one transaction: a call waits no longer than for these. */
const most = 24
/** Whoever watches sees photos come in at least this often; each time, whatever shows the rack asks anew. */
const everyMs = 500

type Waiting = { file: IntakeFile; met: Met }

export function makeKeeper(rack: Rack, { id, label, began, log, met: told, sitting }: Keeping): Keeper {
  let changeId = id
  let waiting: Waiting[] = []
  let last = Number.NEGATIVE_INFINITY
  let timer: NodeJS.Timeout | undefined
  let turn: Promise<void> = Promise.resolve()

  /** Photos wait in the order in which they were handed over, though some are ready before others: a millisecond apart. */
  const inOrder = ({ position }: IntakeFile): Date => new Date(began.getTime() + position)

  /** @returns what became of each, in order */
  const keep = async (batch: readonly Waiting[]): Promise<IntakeItem[]> => {
    const photos = batch.flatMap(({ met }) => ('sha256' in met ? [met.sha256] : []))
    if (photos.length > 0) await syncShelves(rack.folder, 'photos', photos)
    let taken = 0
    const kept = (part: string) => {
      if (taken === 0) return
      changeId = part
      sitting?.kept(part, taken)
    }
    const partOf = sitting ? await sitting.partOf(rack) : changeId
    return rack.change({ label, partOf, kept }, async (change) => {
      const items: IntakeItem[] = []
      for (const { file, met } of batch) {
        const item = 'sha256' in met ? itemOf(file, await addPrepared(change, met, inOrder(file))) : met
        // said with a copy, it is said of the photo that is there
        if (file.hint && item.photoId !== null && (item.fate === 'taken' || hasWords(file.hint)))
          await keepHint(change.db, item.photoId, file.hint)
        await endFile(change.db, id, file.position, item)
        await endWatched(change.db, id, file.position, item, 'sha256' in met ? met.sha256 : null)
        items.push(item)
      }
      taken = items.filter(({ fate }) => fate === 'taken').length
      if (sitting && taken > 0) await change.relabel(sitting.label(taken))
      return items
    })
  }

  /** As `keep`; a photo that cannot be kept is refused, and does not take those beside it along. */
  const keepEach = async (batch: readonly Waiting[]): Promise<IntakeItem[]> => {
    try {
      return await keep(batch)
    } catch (error) {
      if (isDiskFull(error) || (error instanceof Refusal && error.code.startsWith('rack/'))) throw error
      const [only] = batch
      if (only && batch.length === 1) return keep([{ file: only.file, met: refusedFor(error, only.file, log) }])
      const items: IntakeItem[] = []
      for (const one of batch) items.push(...(await keepEach([one])))
      return items
    }
  }

  const keepAll = async () => {
    clearTimeout(timer)
    timer = undefined
    while (waiting.length > 0) {
      const batch = waiting.slice(0, most)
      waiting = waiting.slice(most)
      const items = await keepEach(batch)
      last = performance.now()
      for (const [i, item] of items.entries()) {
        const file = batch[i]?.file
        if (file) await told(file, item)
      }
    }
  }

  const flush = (): Promise<void> => {
    turn = turn.then(keepAll)
    // whoever adds next is told
    turn.catch(() => undefined)
    return turn
  }

  return {
    add: async (file, met) => {
      waiting.push({ file, met })
      const dueIn = last + everyMs - performance.now()
      if (waiting.length >= most || dueIn <= 0) return flush()
      timer ??= setTimeout(() => void flush().catch(() => undefined), dueIn)
    },
    flush,
    changeId: () => changeId,
  }
}

const hasWords = ({ panel, light }: Hint): boolean => panel.trim() + light.trim() !== ''

const itemOf = (
  { name }: IntakeFile,
  { photoId, fate }: { photoId: string; fate: 'taken' | 'duplicate' },
): IntakeItem => ({
  name,
  photoId,
  fate,
  why: null,
})

function refusedFor(error: unknown, { name, path }: IntakeFile, log: Log): IntakeItem {
  const why =
    error instanceof Gone
      ? {
          code: 'photo/undone-meanwhile',
          message: 'This photo was in the rack, and its taking in was undone just now.',
          remedy: 'Take it in again.',
        }
      : log.unexpected(error, `taking in ${path}`)
  return { name, photoId: null, fate: 'refused', why }
}

export const changeLabel = (count: number): string => (count === 1 ? 'take in a photo' : `take in ${count} photos`)
