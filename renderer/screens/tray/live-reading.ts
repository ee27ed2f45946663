import { useEffect } from 'react'
import type { Input } from '../../../shared-core/contract/calls.ts'
import { client } from '../../client/client.ts'
import { useStore } from '../../state/store.ts'
import { useDesk } from './desk-state.ts'
import { faultIn, layoutOf } from './marks.ts'

/** A set-up whose calibration was undone is let go, and the photo is read without it. */
function withoutSetup(): void {
  useDesk.setState(({ circumstances }) => ({ circumstances: { ...circumstances, setupId: null } }))
}

/** Long enough not to ask at every pixel of a drag, short enough to seem to follow it. */
const restMs = 300

type Help = Omit<Input<'photos.read'>, 'photoId'>

/**
 * Reads what is marked, again after every change of marks, set-up or blank sheet. Steps and panel play no part in a reading: naming them asks nothing.
 * An answer that comes after newer marks is dropped.
 */
export function useLiveReading(): void {
  const photoId = useDesk((s) => s.photo?.id ?? null)
  const cardSizeMm = useStore((s) => s.settings.cardSizeMm)
  const asked = useDesk((s) => {
    if (s.marks.list.length === 0 || faultIn(s.marks) !== null) return null
    const layout = layoutOf(s.marks, cardSizeMm)
    const areas = layout.areas.map(({ shape }) => ({ stepId: null, shape }))
    const { setupId, flatPhotoId, lightId } = s.circumstances
    // what is known of a photo sheet is known in one light
    const light = layout.sheet ? { lightId } : {}
    return JSON.stringify({ layout: { ...layout, areas }, setupId, flatPhotoId, ...light })
  })
  useEffect(() => {
    if (photoId === null || asked === null) {
      useDesk.setState({ reading: null, asking: false })
      return
    }
    let current = true
    useDesk.setState({ asking: true })
    const wait = setTimeout(async () => {
      const answer = await client().call('photos.read', { photoId, ...(JSON.parse(asked) as Help) })
      if (!current) return
      useDesk.setState({ reading: answer.ok ? answer.value : null, asking: false })
      if (answer.ok) return
      useStore.getState().warn(answer.error)
      if (answer.error.code === 'setup/absent') withoutSetup()
    }, restMs)
    return () => {
      current = false
      clearTimeout(wait)
    }
  }, [photoId, asked])
}
