import { useEffect, useState } from 'react'

/** A value once it has rested: what is asked of the service while somebody types waits for it. */
export function useRested<T>(value: T, key: string, afterMs = 300): T {
  const [rested, setRested] = useState({ value, key })
  useEffect(() => {
    if (rested.key === key) return
    const wait = setTimeout(() => setRested({ value, key }), afterMs)
    return () => clearTimeout(wait)
  }, [value, key, rested.key, afterMs])
  return rested.value
}
