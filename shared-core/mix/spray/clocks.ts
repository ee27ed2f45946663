/** A dyed mixture stands before spraying, so that air leaves it: common practice, no source. Minutes. */
export const usualStandMin = { least: 10, most: 15 } as const

/** A product that has been mixed with its hardener is to be used up; the last part of the time is told beforehand. */
const soonS = 15 * 60

export type Clock = {
  kind: 'stand' | 'pot-life'
  /** ISO 8601. */
  startedAt: string
  until: string
}

export type ClockState = {
  /** Whole seconds still to go, rounded up; 0 when it is over. */
  remainingS: number
  /** Seconds since it was over; 0 while it runs. */
  overdueS: number
  state: 'running' | 'ending' | 'over'
  /** The computer's clock stands before the start: it was set back, and the time left is not known. */
  clockSetBack: boolean
  words: string
}

/**
 * A clock as two timestamps: nothing has to run, and it survives leaving the place and the computer being off.
 * @param minutes  above 0; typed from the data sheet for a pot life
 * @throws RangeError when the start is no time, or minutes are not above 0
 */
export function startClock(kind: Clock['kind'], startedAt: string, minutes: number): Clock {
  const start = Date.parse(startedAt)
  if (!Number.isFinite(start)) throw new RangeError(`${startedAt} is no time.`)
  if (!Number.isFinite(minutes) || minutes <= 0) throw new RangeError('A clock needs minutes above 0.')
  return { kind, startedAt, until: new Date(start + minutes * 60_000).toISOString() }
}

/** "1 h 05 min", "12 min", "40 s": minutes rounded up, so that 0 is never said while it runs. */
export function durationInWords(seconds: number): string {
  if (seconds < 60) return `${Math.ceil(seconds)} s`
  const minutes = Math.ceil(seconds / 60)
  const hours = Math.floor(minutes / 60)
  return hours === 0 ? `${minutes} min` : `${hours} h ${String(minutes % 60).padStart(2, '0')} min`
}

/** What a clock says at a moment. */
export function readClock({ kind, startedAt, until }: Clock, now: string): ClockState {
  const leftS = (Date.parse(until) - Date.parse(now)) / 1000
  const remainingS = Math.max(0, Math.ceil(leftS))
  const overdueS = Math.max(0, Math.floor(-leftS))
  const clockSetBack = Date.parse(now) < Date.parse(startedAt)
  const state = leftS <= 0 ? 'over' : kind === 'pot-life' && leftS <= soonS ? 'ending' : 'running'
  return { remainingS, overdueS, state, clockSetBack, words: wordsOf(kind, state, remainingS, overdueS, clockSetBack) }
}

function wordsOf(
  kind: Clock['kind'],
  state: ClockState['state'],
  remainingS: number,
  overdueS: number,
  clockSetBack: boolean,
): string {
  if (clockSetBack) return 'The computer’s clock was set back since then. Go by the time written on the cup.'
  if (kind === 'stand') {
    return state === 'over'
      ? 'It has stood long enough. Stir once more.'
      : `Let it stand: ${durationInWords(remainingS)}.`
  }
  if (state === 'over')
    return `Pot life ended ${durationInWords(overdueS)} ago. Do not spray it, and do not thin it again.`
  if (state === 'ending') return `Pot life ends in ${durationInWords(remainingS)}. Clean the gun before it does.`
  return `Pot life: ${durationInWords(remainingS)} left. It is shorter when it is warm.`
}
