import type { Pace } from './limits.ts'

/** Lets so many through at once and so many a second from then on. @param now milliseconds, for tests */
export function makePace({ burst, perSecond }: Pace, now: () => number = () => performance.now()): () => boolean {
  let left = burst
  let at = now()
  return () => {
    const moment = now()
    left = Math.min(burst, left + ((moment - at) / 1000) * perSecond)
    at = moment
    if (left < 1) return false
    left -= 1
    return true
  }
}
