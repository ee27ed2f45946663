import { join } from 'node:path'
import { v7 } from 'uuid'
import { Refusal } from '../../../../shared-core/contract/refusal.ts'
import type { Exam } from '../../../rack/check/exam/exam.ts'
import { mendIndexes } from '../../../rack/check/mend/derive-anew.ts'
import { keepFirst } from '../../../rack/check/mend/keep-first.ts'
import { keepPresent } from '../../../rack/check/mend/keep-present.ts'
import { mendFromHistory } from '../../../rack/check/mend/mend-from-history.ts'
import { type MendedLoose, mendLoose } from '../../../rack/check/mend/mend-loose.ts'
import { mendOrder } from '../../../rack/check/mend/mend-order.ts'
import { noteFound, readRuns } from '../../../rack/check/progress.ts'
import { withCheckWorker } from '../../../rack/check/worker/ask-worker.ts'
import type { Rack } from '../../../rack/opening/open.ts'
import type { Jobs } from '../../jobs.ts'
import { be, counted } from './report/words.ts'

export type Mending = 'indexes' | 'loose' | 'order' | 'from-history' | 'keep-present'

/**
 * Puts records right as a job: first a backup, then what was found by a fresh look, then a look whether it is right.
 * @returns the job's id
 * @throws Refusal `check/nothing-to-mend` where the last look through found nothing of the kind
 */
export async function startMend(rack: Rack, what: Mending, { jobs }: { jobs: Jobs }): Promise<string> {
  const { last, underWay } = await readRuns(rack.db)
  if (!last?.found.exam && !underWay?.found.exam)
    throw new Refusal(
      'check/nothing-to-mend',
      'Nothing was found that could be put right like this.',
      'Look through everything first.',
    )
  const id = v7()
  jobs.start({ id, kind: 'check', label: 'Putting the records right', total: 3, rackFolder: rack.folder }, (job) =>
    withCheckWorker(job.signal, async (worker) => {
      const look = () => worker.ask({ what: 'examine', database: join(rack.folder, 'rack.sqlite') })
      job.progress('Looking at what is wrong', 0, 3)
      const before = await look()
      job.progress('Making a backup', 1, 3)
      await keepFirst(rack)
      job.signal.throwIfAborted()
      job.progress('Putting it right', 2, 3)
      const told = await mend(rack, what, before)
      const after = await look()
      const { last: ended, underWay: going } = await readRuns(rack.db)
      for (const run of [ended, going])
        if (run?.found.exam)
          await noteFound(rack.db, { ...run, found: { ...run.found, exam: after, derivedMended: 0 } })
      job.progress('', 3, 3)
      job.conclude(leftOf(what, after) > 0 ? `${told} Not all of it could be put right: look at what is left.` : told)
    }),
  )
  return id
}

async function mend(rack: Rack, what: Mending, exam: Exam): Promise<string> {
  switch (what) {
    case 'indexes': {
      await mendIndexes(rack)
      return 'Indexes, order and search words are made anew, after a backup.'
    }
    case 'loose':
      return looseInWords(await mendLoose(rack, exam.loose))
    case 'order':
      return `${counted(await mendOrder(rack, exam.breaches), 'row')} numbered anew, after a backup.`
    case 'keep-present':
      return `${counted(await keepPresent(rack, exam.history), 'record')} kept: the history now ends with what is there.`
    case 'from-history':
      return `${counted(await mendFromHistory(rack, exam.history), 'record')} put back as the history has them, after a backup.`
  }
}

function leftOf(what: Mending, exam: Exam): number {
  switch (what) {
    case 'indexes':
      return exam.integrity.length + exam.derived.rows + exam.derived.words
    case 'loose':
      return exam.loose.length
    case 'order':
      return exam.breaches.filter(({ rule }) => rule.endsWith('-order')).length
    case 'from-history':
    case 'keep-present':
      return exam.history.length
  }
}

function looseInWords({ back, emptied, out }: MendedLoose): string {
  const parts = [
    back > 0 ? `${counted(back, 'record')} put back from the history` : '',
    emptied > 0 ? `${counted(emptied, 'reference')} left empty` : '',
    out > 0 ? `${counted(out, 'record')} that belonged to nothing ${be(out)} taken out` : '',
  ].filter(Boolean)
  return `${parts.length > 0 ? parts.join(', ') : 'Nothing was loose any more'}, after a backup.`
}
