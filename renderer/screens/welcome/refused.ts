import { create } from 'zustand'
import type { ErrorCode, Failure, Input } from '../../../shared-core/contract/calls.ts'
import { client } from '../../client/client.ts'
import { refreshRack } from '../../state/asking.ts'

/** The rack that was wanted last, and why it did not open. */
export type Refused = Failure<ErrorCode<'rack.open'>> & { folder: string; name: string | null }

export const useRefused = create<{ refused: Refused | null; opening: string | null }>(() => ({
  refused: null,
  opening: null,
}))

/** Opens a rack; why it cannot be opened is told in one place, with what helps. @returns whether it is open */
export async function openRack(
  folder: string,
  how: Omit<Input<'rack.open'>, 'folder'> = {},
  name: string | null = null,
): Promise<boolean> {
  if (useRefused.getState().opening !== null) return false
  useRefused.setState({ opening: folder })
  const answer = await client().call('rack.open', { folder, ...how })
  useRefused.setState({ opening: null })
  return settled(answer.ok ? null : answer.error, folder, name)
}

/** Takes a rack from a computer that is gone for good. */
export async function takeOver(folder: string, nonce: string, name: string | null): Promise<boolean> {
  const answer = await client().call('rack.takeOver', { folder, nonce })
  return settled(answer.ok ? null : answer.error, folder, name)
}

async function settled(failure: Failure<ErrorCode<'rack.open'>> | null, folder: string, name: string | null) {
  const before = useRefused.getState().refused
  const known = before?.folder === folder ? before.name : null
  useRefused.setState({ refused: failure ? { ...failure, folder, name: name ?? known } : null })
  if (failure) return false
  await refreshRack()
  return true
}
