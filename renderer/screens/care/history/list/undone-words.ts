import type { HistoryEntry } from '../../../../../shared-core/records/history.ts'
import type { Settings } from '../../../../../shared-core/records/settings.ts'
import { sayDay } from '../../../../parts/say-numbers.ts'
import { sayTime } from '../../../../parts/say-time.ts'
import { dayOf } from './days.ts'

/** "taken back at 14:30 by Wren; Redo does it again". */
export function undoneInWords(entry: HistoryEntry, settings: Pick<Settings, 'clock'>): string {
  const { undoneAt: at, undoneBy } = entry
  const when =
    at === null ? '' : ` ${dayOf(at) === dayOf(entry.at) ? '' : `on ${sayDay(at)} `}at ${sayTime(at, settings)}`
  const who = undoneBy ? ` by ${undoneBy}` : ''
  return `taken back${when}${who}${entry.leftBehind ? '' : ', Redo does it again'}`
}
