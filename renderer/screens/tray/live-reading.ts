import { useEffect } from 'react'
import { client } from '../../client/client.ts'
import { useStore } from '../../state/store.ts'
import { useDesk } from './desk-state.ts'
import { faultIn, layoutOf } from './marks.ts'

/** Long enough not to ask at every pixel of a drag, short enough to seem to follow it. */
const restMs = 300

/**
 * Reads what is marked, again after every change. Steps and panel play no part in a reading: naming them asks nothing.
 * An answer that comes after newer marks is dropped.
 */
export function useLiveReading(): void {
  const photoId = useDesk((s) => s.photo?.id ?? null)
  const asked = useDesk((s) => {
    if (s.marks.list.length === 0 || faultIn(s.marks) !== null) return null
    const { areas, card } = layoutOf(s.marks)
    return JSON.stringify({ areas: areas.map(({ shape }) => ({ stepId: null, shape })), card })
  })
  useEffect(() => {
    if (photoId === null || asked === null) {
      useDesk.setState({ reading: null, asking: false })
      return
    }
    let current = true
    useDesk.setState({ asking: true })
    const wait = setTimeout(async () => {
      const answer = await client().call('photos.read', { photoId, layout: JSON.parse(asked) })
      if (!current) return
      useDesk.setState({ reading: answer.ok ? answer.value : null, asking: false })
      if (!answer.ok) useStore.getState().warn(answer.error)
    }, restMs)
    return () => {
      current = false
      clearTimeout(wait)
    }
  }, [photoId, asked])
}
