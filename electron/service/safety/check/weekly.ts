import { readRuns } from '../../../rack/check/progress.ts'
import type { Rack } from '../../../rack/opening/open.ts'
import type { AppFiles } from '../../app-files.ts'
import type { Log } from '../../log.ts'
import { type CheckSupport, startCheck } from './run-check.ts'

const minuteMs = 60 * 1000
const weekMs = 7 * 24 * 60 * minuteMs
/** After opening, so that nobody who has come to work waits for it. */
const firstAfterMs = 3 * minuteMs
const againAfterMs = 60 * minuteMs

type Support = CheckSupport & { appFiles: AppFiles; log: Log; isOpen: () => boolean }

/**
 * Goes on with a look through that was stopped as the rack was closed, and begins one each week, both only where the painter
 * has it so. To be called when a rack was opened.
 */
export async function keepChecking(rack: Rack, support: Support): Promise<void> {
  if (rack.access.mode !== 'full') return
  const { underWay } = await readRuns(rack.db)
  if (underWay && !underWay.found.paused) startCheck(rack, support, true)
  const look = async () => {
    if (!support.isOpen() || !support.appFiles.settings().weeklyCheck) return
    if (await isDue(rack)) startCheck(rack, support, true)
  }
  const tell = (error: unknown) => void support.log.unexpected(error, 'the weekly look through')
  const first = setTimeout(() => void look().catch(tell), firstAfterMs)
  const again = setInterval(() => {
    if (support.isOpen()) return void look().catch(tell)
    clearInterval(again)
    clearTimeout(first)
  }, againAfterMs)
  first.unref()
  again.unref()
}

/** A week since the last one came to its end or was stopped; a clock that was put back counts as well. */
export async function isDue(rack: Rack, now = Date.now()): Promise<boolean> {
  const { last, underWay } = await readRuns(rack.db)
  const latest = underWay?.startedAt ?? last?.endedAt
  return latest === undefined || latest === null || Math.abs(now - Date.parse(latest)) >= weekMs
}
