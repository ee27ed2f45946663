import type { Input } from '../../../../shared-core/contract/calls.ts'
import type { Proposal } from '../../../../shared-core/records/proposal.ts'
import { isOnlyLookedAt } from '../../../commands/command.ts'
import { act } from '../../../state/asking.ts'
import { useStore } from '../../../state/store.ts'
import { choosePanel, type Desk, declineProposal, useDesk } from '../desk-state.ts'

const get = useDesk.getState
const set = useDesk.setState

/** Puts a newer proposal in the place of the kept answer, so that going away and coming back shows the same. */
export function keepAnswer(proposal: Proposal): void {
  const { rack, looked, keepAnswer: keep } = useStore.getState()
  const key = `proposals.get ${JSON.stringify({ photoId: proposal.photoId })}`
  keep(key, { value: { proposal }, error: null, revision: rack?.revision ?? 0, looked })
}

/** What is said against a proposal has to reach the service: the photo may be left, and those that are sure filed in one go. */
async function tell(said: Omit<Input<'proposals.say'>, 'photoId'>): Promise<void> {
  const { photo } = get()
  if (!photo || photo.filed || isOnlyLookedAt(useStore.getState())) return
  const done = await act('proposals.say', { photoId: photo.id, ...said })
  if (!done) return
  keepAnswer(done.proposal)
  if (get().photo?.id === photo.id && done.proposal.state !== 'waiting') set({ made: done.proposal })
}

/** Takes the panel off the photo, to say another. */
export function withdrawPanel(): void {
  const { panel } = get()
  if (!panel) return
  choosePanel(null)
  void tell({ withdrawn: true })
}

/** The panel that was taken off is meant after all. */
export function bringPanelBack(): void {
  const { panelBefore } = get()
  if (!panelBefore) return
  choosePanel(panelBefore)
  void tell({ withdrawn: false })
}

/** An earlier photo of the same panel stays beside this one. */
export function keepBoth(): void {
  set({ bothKept: true })
  void tell({ bothKept: true })
}

export function aimAt(aim: Desk['aim']): void {
  set({ aim })
  void tell({ reference: aim === 'reference' })
}

/** Nothing of what is proposed is marked; what was marked on the last photo says nothing of this one. */
export function markAnew(): void {
  const { from, proposal } = get()
  declineProposal()
  if (proposal && from === 'found') void tell({ declined: true })
}
