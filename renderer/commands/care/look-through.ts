import { askReport, useCheck } from '../../screens/care/check/check-state.ts'
import { act } from '../../state/asking.ts'
import type { Command } from '../command.ts'

/** Looks through records and files; goes on with what was stopped half way. */
export const lookThrough: Command = {
  id: 'care.lookThrough',
  place: 'care',
  label() {
    const underWay = useCheck.getState().report?.underWay
    return underWay && underWay.jobId === null ? 'Go on looking through' : 'Look through everything'
  },
  shortcut: null,
  missing: () => (useCheck.getState().report?.underWay?.jobId ? 'It is being looked through already.' : null),
  run: async () => {
    await act('check.start', {})
    await askReport()
  },
  undo: 'none',
  leadsToChange: true,
}
