import { useEffect, useMemo } from 'react'
import { useAnswer } from '../../../state/asking.ts'
import { keepMarks } from '../desk-actions.ts'
import { supposePanel, useDesk } from '../desk-state.ts'
import { isMarked, layOnDesk, type Offered, renewPhoto } from './laying.ts'

/** What was found in a photo, with the panel that it names; undefined while nobody knows. */
function useOffered(photoId: string | null): Offered | undefined {
  const { value, error } = useAnswer('proposals.get', photoId === null ? null : { photoId })
  const proposal = value?.proposal
  const panelId = proposal?.panelId ?? null
  const panel = useAnswer('panels.get', panelId === null ? null : { key: panelId })
  return useMemo(() => {
    if (error) return null
    if (!proposal) return undefined
    if (proposal.state === 'waiting') return 'awaited'
    if (panelId === null) return { proposal, panel: null }
    return panel.value || panel.error ? { proposal, panel: panel.value?.panel ?? null } : undefined
  }, [proposal, error, panelId, panel.value, panel.error])
}

/** Lays the photo of the address on the desk; what was marked on the one before is kept. */
export function usePhotoOnDesk(photoId: string | null): void {
  const { value } = useAnswer('photos.get', photoId === null ? null : { photoId })
  const isFiled = value?.photo.filed === true
  const found = useOffered(isFiled ? null : photoId)
  const offered = isFiled ? null : found
  useEffect(() => {
    if (!value || value.photo.id !== photoId) return
    const { photo, proposed, proposedSetupId } = value
    if (useDesk.getState().photo?.id !== photoId)
      layOnDesk(photo, proposed, proposedSetupId, offered ?? (offered === null ? null : 'awaited'))
    else if (offered !== undefined) renewPhoto(photo, proposed, proposedSetupId, offered)
    // what somebody marked before a symbol was read gets its panel all the same
    const isNamed = photo.layout.areas.some(({ stepId }) => stepId !== null)
    if (isMarked(photo.layout) && !photo.filed && !isNamed && offered && offered !== 'awaited' && offered.panel)
      supposePanel(offered.panel)
  }, [value, photoId, offered])
  useEffect(
    () => () => {
      void keepMarks()
      // nothing of it can be undone from another place
      useDesk.setState({ photo: null, past: [], future: [] })
    },
    [photoId],
  )
}
