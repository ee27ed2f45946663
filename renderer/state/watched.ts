import { create } from 'zustand'
import type { WatchedFolder } from '../../shared-core/contract/watch-calls.ts'
import { client } from '../client/client.ts'

type WatchedPlace = {
  /** Null while nobody knows yet. */
  folders: WatchedFolder[] | null
  /** The sheet of watched folders stands open. */
  isShown: boolean
}

/** The folders whose new photos come into the tray, as they were last told. */
export const useWatched = create<WatchedPlace>(() => ({ folders: null, isShown: false }))

export async function refreshWatched(): Promise<void> {
  const answer = await client().call('watched.list', {})
  if (answer.ok) useWatched.setState({ folders: answer.value.folders })
}

export const showWatched = () => useWatched.setState({ isShown: true })
export const hideWatched = () => useWatched.setState({ isShown: false })
