import { useJobDialogs } from '../../state/job-dialogs.ts'
import { keptReference } from '../../state/match-address.ts'
import type { Command } from '../command.ts'

export const jobWithReference: Command = {
  id: 'match.jobWithReference',
  place: 'match',
  label: () => 'Start a job with it',
  shortcut: 'b',
  missing: ({ route }) =>
    route.at === 'match' && keptReference(route.referenceId) !== null
      ? null
      : 'Only a reference that is kept in the rack can be a job’s.',
  run({ route }) {
    if (route.at === 'match') useJobDialogs.setState({ beginning: true, referenceId: keptReference(route.referenceId) })
  },
  undo: 'recorded',
}
