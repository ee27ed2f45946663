import type { CheckOutcome, CustomerJob, CustomerJobStatus } from '../../../shared-core/records/customer-job.ts'
import type { Settings } from '../../../shared-core/records/settings.ts'
import { sayBound, sayDay, sayNumber } from '../../parts/say-numbers.ts'

export const statusInWords: Record<CustomerJobStatus, string> = {
  open: 'Open',
  accepted: 'Colour accepted',
  painted: 'Painted',
  closed: 'Closed',
}

type Verdict = CheckOutcome['verdict']
export const verdictInWords: Record<Verdict, string> = {
  within: 'Within your tolerance',
  doubtful: 'On the line: could be within or beyond',
  beyond: 'Beyond your tolerance',
  'not-read': 'Not read yet',
}

/** "0.8 ± 0.6". */
export function differenceInWords(
  { de00, bound90 }: Pick<CheckOutcome, 'de00' | 'bound90'>,
  settings: Pick<Settings, 'decimal'>,
): string {
  if (de00 === null) return 'not read yet'
  return bound90 === null
    ? sayNumber(de00, 1, settings)
    : `${sayNumber(de00, 1, settings)} ± ${sayBound(bound90, settings)}`
}

/** The check panel that was added last, of those that were read if any was. */
export function lastCheck(outcomes: readonly CheckOutcome[]): CheckOutcome | undefined {
  return outcomes.findLast(({ verdict }) => verdict !== 'not-read') ?? outcomes.at(-1)
}

export const localDay = (at = new Date()): string =>
  `${at.getFullYear()}-${String(at.getMonth() + 1).padStart(2, '0')}-${String(at.getDate()).padStart(2, '0')}`

/** "due 3 June 2031", "was due 3 June 2031"; empty without a day. */
export function dueInWords({ dueOn, status }: Pick<CustomerJob, 'dueOn' | 'status'>, today: string): string {
  if (dueOn === null) return ''
  const late = dueOn < today && (status === 'open' || status === 'accepted')
  return late ? `was due ${sayDay(dueOn)}` : `due ${sayDay(dueOn)}`
}

/** A new thing inside a job; names are never shown. */
export const newId = (): string => crypto.randomUUID()

export const judgeWords = 'Screen preview: judge panel against part under the customer’s light.'
export const predictionWords = 'A prediction is not a panel: spray a check panel.'
