import { useEffect, useEffectEvent } from 'react'
import type { CallName, ErrorCode, Failure, Input, Output } from '../../shared-core/contract/calls.ts'
import { client } from '../client/client.ts'
import { useStore } from './store.ts'

type Underway = { of: string; folder: string | undefined }
const underway = new Map<string, Underway>()

/**
 * What changes faster than it is answered: asked again only when its answer is there, and shown although it is a little old. All other
 * questions are asked anew at once, and an answer that was overtaken is not shown: what was done meanwhile is not in it.
 */
const followed: ReadonlySet<CallName> = new Set<CallName>(['proposals.overview'])

/**
 * What a query answers, asked again whenever the rack has changed. While a newer answer is on its way the older one
 * stays, so a screen never blinks and going back shows at once what was there.
 * @param input   null asks nothing
 * @param restMs  waits so long before asking, so that what matters more is asked first and what is left soon never is
 */
export function useAnswer<N extends CallName>(
  name: N,
  input: Input<N> | null,
  restMs = 0,
): { value: Output<N> | undefined; error: Failure<ErrorCode<N>> | null } {
  const key = input === null ? '' : `${name} ${JSON.stringify(input)}`
  const revision = useStore((s) => s.rack?.revision ?? 0)
  // proposals come without the rack being changed
  const looked = useStore((s) => (name.startsWith('proposals.') ? s.looked : 0))
  const folder = useStore((s) => s.rack?.folder)
  const of = `${revision} ${looked} ${folder}`
  const kept = useStore((s) => s.answers[key])
  const stale = kept === undefined || kept.revision !== revision || (kept.looked ?? 0) !== looked
  const isFollowed = followed.has(name)
  const ask = useEffectEvent(async () => {
    const before = underway.get(key)
    if (input === null || before?.of === of || (isFollowed && before && before.folder === folder)) return
    const mine: Underway = { of, folder }
    underway.set(key, mine)
    const isNewest = () => underway.get(key) === mine && underway.delete(key)
    const answer = await client()
      .call(name, input)
      .catch((error: unknown) => {
        isNewest()
        throw error
      })
    if (!isNewest()) return
    useStore.getState().keepAnswer(key, {
      value: answer.ok ? answer.value : undefined,
      error: answer.ok ? null : answer.error,
      revision,
      looked,
    })
  })
  // an old answer of what is followed is a reason to ask again
  const answered = isFollowed ? kept : undefined
  useEffect(() => {
    if (!stale) return
    if (restMs === 0) {
      void ask()
      return
    }
    const wait = setTimeout(() => void ask(), restMs)
    return () => clearTimeout(wait)
  }, [key, of, stale, restMs, answered])
  return { value: kept?.value as Output<N> | undefined, error: (kept?.error ?? null) as Failure<ErrorCode<N>> | null }
}

/** Asks for a change; what went wrong is told to the user. @returns the output, or null after a failure */
export async function act<N extends CallName>(name: N, input: Input<N>): Promise<Output<N> | null> {
  const answer = await client().call(name, input)
  if (answer.ok) {
    useStore.getState().settle(name)
    return answer.value
  }
  useStore.getState().warn(answer.error, { about: name })
  return null
}

/** Asks which rack is open, and what its newest revision is. */
export async function refreshRack(): Promise<void> {
  const answer = await client().call('rack.describe', {})
  if (answer.ok) useStore.getState().setRack(answer.value.rack)
  if (answer.ok && answer.value.rack) {
    const lights = await client().call('lights.list', {})
    if (lights.ok) useStore.getState().setLights(lights.value.lights)
  }
}
