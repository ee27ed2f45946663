import type Database from 'better-sqlite3'
import type { Caution } from '../../../shared-core/records/photo.ts'
import { historyBreaches } from '../check/exam/history-breaches.ts'
import { migrations } from '../migrations/list.ts'
import { damagedRack } from '../refusals.ts'
import type { Found } from './health.ts'
import { breaksIn } from './integrity.ts'

/**
 * Looks through a database as far as what is known of it asks for: not at all within a day, in parts (`quick_check`) when its
 * bytes are those it was closed with, in full otherwise (1.6 s for ten thousand panels).
 * @returns what the painter has to be told
 * @throws Refusal `rack/damaged`
 */
export function lookThrough(raw: Database.Database, folder: string, found: Found): Caution[] {
  if (found.checkedAt === null) {
    const breaks = breaksIn(raw, found.state === 'whole' ? 'quick_check' : 'integrity_check')
    if (breaks) throw damagedRack(folder, breaks.words, breaks.told)
    if (found.state !== 'whole') {
      const loose = raw.pragma('foreign_key_check') as { table: string; rowid: number; parent: string }[]
      if (loose.length > 0) throw damagedRack(folder, looseInWords(loose.length), JSON.stringify(loose.slice(0, 20)))
    }
  }
  return [...cautionsOf(raw, found), ...(found.state === 'whole' ? [] : recordsAltered(raw))]
}

const looseInWords = (count: number): string =>
  count === 1 ? 'one record names another that is not there' : `${count} records name others that are not there`

/**
 * The history has every row a second time: what a drive altered while nothing was sealed is found by it. Not in an older form,
 * whose rows a step may have altered.
 */
function recordsAltered(raw: Database.Database): Caution[] {
  if (Number(raw.pragma('user_version', { simple: true })) !== migrations.length) return []
  const { length: count } = historyBreaches(raw, mostTold)
  if (count === 0) return []
  const many = count === mostTold ? `at least ${count}` : String(count)
  return [
    {
      code: 'rack/records-altered',
      message: `${count === 1 ? 'One record is' : `${many} records are`} not as the last change left ${count === 1 ? 'it' : 'them'}: the drive or another program has altered ${count === 1 ? 'it' : 'them'}.`,
      remedy: 'Let “Check this rack” name them: it can put them right from the history.',
    },
  ]
}

const mostTold = 100

function cautionsOf(raw: Database.Database, found: Found): Caution[] {
  const revision = revisionOf(raw)
  if (revision < found.revision && found.state !== 'changed-outside')
    return [changesLost(found.revision - revision, found.logMissing)]
  if (found.logMissing) return [logMissing]
  if (found.state === 'changed-outside') return [changedOutside]
  if (found.state === 'doubtful') return [doubtful]
  return []
}

export const revisionOf = (raw: Database.Database): number =>
  Number(raw.prepare('select revision from rack_info').pluck().get())

const changesLost = (count: number, logIsMissing: boolean): Caution => ({
  code: 'rack/changes-lost',
  message: `${count === 1 ? 'The last change is' : `The last ${count} changes are`} missing: Overground could not close this rack, and its log (rack.sqlite-wal) ${logIsMissing ? 'is gone since' : 'was damaged since'}. Everything before is whole.`,
  remedy:
    'Look whether the log lies in another copy of the folder (a synced folder, the trash) before you go on. Otherwise make those changes again; photos taken in are found by “Check this rack”.',
})

const logMissing: Caution = {
  code: 'rack/log-missing',
  message:
    'Overground could not close this rack, and its log (rack.sqlite-wal) is gone since. No change is known to be missing, but what was being written just then may not fit together.',
  remedy: 'Look at what was changed last. If something is not as you left it, go back to the last backup.',
}

const changedOutside: Caution = {
  code: 'rack/changed-outside',
  message:
    'The database of this rack is not as Overground left it: another program, or a copy of the folder, has written to it since. It was looked through and is sound.',
  remedy:
    'If you put a backup in its place, all is well. If you did not, compare it with the last backup before you go on.',
}

const doubtful: Caution = {
  code: 'rack/doubtful',
  message:
    'Overground could not close this rack, and its database has other bytes than it had then: the drive may have altered it. It was looked through, and no break was found.',
  remedy:
    'Let “Check this rack” look at every record and photo. If something is not as you left it, go back to the last backup.',
}
