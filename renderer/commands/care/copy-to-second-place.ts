import { act } from '../../state/asking.ts'
import type { Command } from '../command.ts'
import { backUpNow } from './back-up-now.ts'

/** Brings the second place up to date without a new backup. */
export const copyToSecondPlace: Command = {
  id: 'care.copyToSecondPlace',
  place: 'care',
  label: () => 'Copy now',
  shortcut: null,
  missing: (state) => backUpNow.missing(state),
  async run() {
    await act('secondPlace.copyNow', {})
  },
  undo: 'none',
}
