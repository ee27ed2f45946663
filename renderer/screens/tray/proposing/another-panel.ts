import { client } from '../../../client/client.ts'
import { useStore } from '../../../state/store.ts'
import { changeMarks, chooseMark, takeTool, useDesk } from '../desk-state.ts'
import { isMarkedIn, surePanels } from './other-panels.ts'
import { panelAsMark } from './proposing.ts'

/**
 * Marks the next panel of a photo that is filed to one already. What was read of that one stays; card, chart and sheet are the
 * same for both.
 */
export async function markAnotherPanel(): Promise<void> {
  const { photo } = useDesk.getState()
  if (!photo) return
  const answer = await client().call('proposals.get', { photoId: photo.id })
  const desk = useDesk.getState()
  if (desk.photo?.id !== photo.id) return
  const panels = surePanels(answer.ok ? answer.value.proposal.found : null)
  const at = panels.findIndex((panel) => isMarkedIn(desk.marks, panel))
  const next = panels.length > (at < 0 ? 0 : 1) ? panels[(at + 1) % panels.length] : undefined
  useDesk.setState({ panel: null, aim: 'panel', ageDays: null })
  changeMarks({ ...desk.marks, list: next ? [panelAsMark(next)] : [] })
  chooseMark(next ? { key: 0, handle: null, band: 0 } : null)
  if (next) return
  if (useDesk.getState().tool !== 'panel') takeTool('panel')
  useStore.getState().say('No other panel was found in this photo.', 'Mark its corners.')
}
