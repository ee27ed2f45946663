import { useEffect } from 'react'
import { client } from '../../../client/client.ts'
import { useAnswer } from '../../../state/asking.ts'
import { neighbour } from '../desk-actions.ts'
import { useDesk } from '../desk-state.ts'

/** Long enough for the photo that one looks at to have all that it needs. */
const restMs = 300

/** Asks for the photo that comes next, its proposal and its picture, so that it is there as soon as it is wanted. */
export function Ahead() {
  const photoId = useDesk((s) => (s.photo ? neighbour(s, 1) : null))
  const input = photoId === null ? null : { photoId }
  const photo = useAnswer('photos.get', input, restMs).value?.photo
  const panelId = useAnswer('proposals.get', input, restMs).value?.proposal.panelId ?? null
  useAnswer('panels.get', panelId === null ? null : { key: panelId }, restMs)
  const sha = photo?.sha256
  useEffect(() => {
    if (sha !== undefined) new Image().src = client().pictureUrl(`photo/${sha}/view`)
  }, [sha])
  return null
}
