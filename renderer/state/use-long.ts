import { useEffect, useState } from 'react'
import { rests } from './rests.ts'

/** True when something has been under way for long enough to say so. */
export function useLong(busy: boolean): boolean {
  const [long, setLong] = useState(false)
  useEffect(() => {
    if (!busy) {
      setLong(false)
      return
    }
    const wait = setTimeout(() => setLong(true), rests.longMs)
    return () => clearTimeout(wait)
  }, [busy])
  return long
}
