import { useEffect, useEffectEvent, useRef, useState } from 'react'
import type { CallName, ErrorCode, Failure, Input, Output } from '../../shared-core/contract/calls.ts'
import { client } from '../client/client.ts'
import { useStore } from './store.ts'

export type Live<N extends CallName> = {
  /** The newest answer there is, also while a newer one is worked out. */
  value: Output<N> | undefined
  /** What that answer was asked with. */
  of: Input<N> | undefined
  error: Failure<ErrorCode<N>> | null
  /** A newer answer is on its way. */
  busy: boolean
}

/** What came back last; a failure leaves the last good answer standing. */
type Taken<N extends CallName> = {
  key: string
  last: { input: Input<N>; value: Output<N> } | undefined
  error: Failure<ErrorCode<N>> | null
}
/** What is asked next and what is under way, for one screen. */
type Line<N extends CallName> = { wanted: { key: string; input: Input<N> } | null; underway: boolean }

/**
 * What a query answers to an input that changes quickly, as a slider makes it change. One call at most is under way;
 * when it comes back the newest input is asked, and those between are never asked. The last answer stays meanwhile.
 * Nothing is kept in the store: a minute at a slider would fill it.
 * @param input   null asks nothing and keeps what is there
 * @param restMs  waits until the input has rested so long
 */
export function useLive<N extends CallName>(name: N, input: Input<N> | null, restMs = 0): Live<N> {
  const revision = useStore((s) => s.rack?.revision ?? 0)
  const key = input === null ? null : `${revision} ${JSON.stringify(input)}`
  const [answer, setAnswer] = useState<Taken<N>>()
  const line = useRef<Line<N>>({ wanted: null, underway: false })
  const gone = useRef(false)
  useEffect(() => {
    gone.current = false
    return () => {
      gone.current = true
    }
  }, [])
  const work = useEffectEvent(async () => {
    const now = line.current
    if (now.underway) return
    now.underway = true
    while (now.wanted !== null && !gone.current) {
      const asked = now.wanted
      now.wanted = null
      const answered = await client().call(name, asked.input)
      if (gone.current) break
      setAnswer((before) =>
        answered.ok
          ? { key: asked.key, last: { input: asked.input, value: answered.value }, error: null }
          : { key: asked.key, last: before?.last, error: answered.error },
      )
    }
    now.underway = false
  })
  const start = useEffectEvent(() => {
    line.current.wanted = key === null || input === null ? null : { key, input }
    void work()
  })
  useEffect(() => {
    // the key says all that the input says
    if (key === null || restMs === 0) {
      start()
      return
    }
    const wait = setTimeout(() => start(), restMs)
    return () => clearTimeout(wait)
  }, [key, name, restMs])
  return {
    value: answer?.last?.value,
    of: answer?.last?.input,
    error: answer?.error ?? null,
    busy: key !== null && answer?.key !== key,
  }
}
