import { useEffect, useState } from 'react'

/** The time, again every second (or so many): for clocks, which are kept as the moment they end. In milliseconds. */
export function useNow(everyMs = 1000): number {
  const [now, setNow] = useState(() => Date.now())
  useEffect(() => {
    const tick = setInterval(() => setNow(Date.now()), everyMs)
    return () => clearInterval(tick)
  }, [everyMs])
  return now
}
