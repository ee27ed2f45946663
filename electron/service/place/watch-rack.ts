import { stat } from 'node:fs/promises'
import { join } from 'node:path'
import { isDeepStrictEqual } from 'node:util'
import { Refusal } from '../../../shared-core/contract/refusal.ts'
import type { Caution } from '../../../shared-core/records/photo.ts'
import { placeCautions } from '../../rack/disk/cautions.ts'
import { lookAround } from '../../rack/disk/look-around.ts'
import { roomAt } from '../../rack/disk/room.ts'
import { syncSigns } from '../../rack/disk/sync-signs.ts'
import type { Rack } from '../../rack/opening/open.ts'

/** Often enough that a drive that was pulled out is told before the painter goes on for long. */
const everyMs = 20_000

/** What is known of the rack beside its own folder. */
export type Known = { keptInSync: boolean; twins: readonly string[] }

/** Looks now and then whether an open rack still lies where it was, and what threatens it there. */
export type RackWatch = {
  cautions(): Caution[]
  /** Nothing can be written at the moment. */
  presses(): boolean
  look(): Promise<void>
  stop(): void
}

/**
 * @param onChanged  the cautions have changed
 * @param onBack     the rack's drive was gone and is there again: what is open is of no use any more
 */
export function watchRack(
  rack: Rack,
  known: () => Promise<Known>,
  onChanged: () => void,
  onBack: () => void,
  onTrouble: (error: unknown) => void,
): RackWatch {
  let cautions: Caution[] = []
  let isPressing = false
  let wasGone = false
  let stopped = false
  let looking: Promise<void> = Promise.resolve()

  const lookNow = async () => {
    if (stopped) return
    const found = await pressing(rack)
    if (stopped) return
    if (wasGone && found?.code !== 'rack/drive-gone') {
      stop()
      return onBack()
    }
    wasGone = found?.code === 'rack/drive-gone'
    isPressing = found !== null
    const next = found ? [found] : await lying(rack, await known())
    if (stopped || isDeepStrictEqual(next, cautions)) return
    cautions = next
    onChanged()
  }
  // one after the other; who asks wants to know how it is now, not how it was as the last look began
  const look = (): Promise<void> => {
    looking = looking.then(lookNow).catch((error: unknown) => {
      if (!stopped) onTrouble(error)
    })
    return looking
  }
  const timer = setInterval(() => void look(), everyMs)
  timer.unref()
  const stop = () => {
    stopped = true
    clearInterval(timer)
  }
  return { cautions: () => [...cautions], presses: () => isPressing, look, stop }
}

/** Why nothing may be written at the moment, if so. */
async function pressing(rack: Rack): Promise<Caution | null> {
  if (rack.access.mode === 'reading') return null
  try {
    await rack.verify()
    return null
  } catch (error) {
    if (!(error instanceof Refusal)) throw error
    // closed meanwhile
    if (error.code === 'rack/none-open') return null
    return { code: error.code, message: error.message, remedy: error.remedy }
  }
}

async function lying(rack: Rack, { keptInSync, twins }: Known): Promise<Caution[]> {
  // what is only looked at is not in danger through us
  if (rack.access.mode === 'reading') return []
  const [around, freeBytes, file, last] = await Promise.all([
    lookAround(rack.folder),
    roomAt(rack.folder),
    stat(join(rack.folder, 'rack.sqlite')),
    rack.db.selectFrom('change').select('at').orderBy('seq', 'desc').limit(1).executeTakeFirst(),
  ])
  return placeCautions({
    freeBytes,
    databaseBytes: file.size,
    now: new Date(),
    lastChange: last ? new Date(last.at) : null,
    sync: syncSigns(around),
    keptInSync,
    twins,
  })
}
