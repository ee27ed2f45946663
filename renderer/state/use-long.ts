import { useEffect, useState } from 'react'

/** What is done sooner is not worth a word, which would only flicker. */
const longMs = 400

/** True when something has been under way for long enough to say so. */
export function useLong(busy: boolean): boolean {
  const [long, setLong] = useState(false)
  useEffect(() => {
    if (!busy) {
      setLong(false)
      return
    }
    const wait = setTimeout(() => setLong(true), longMs)
    return () => clearTimeout(wait)
  }, [busy])
  return long
}
