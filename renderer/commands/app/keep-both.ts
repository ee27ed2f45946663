import { act, refreshRack } from '../../state/asking.ts'
import type { Command } from '../command.ts'

const isReplaced = (cautions: readonly { code: string }[] | undefined): boolean =>
  cautions?.some(({ code }) => code === 'rack/replaced') ?? false

/** Keeps what is open as a backup, and opens what another program has put in its place. */
export const keepBoth: Command = {
  id: 'app.keepBoth',
  place: 'any',
  label: () => 'Keep both',
  shortcut: null,
  missing: (state) => (isReplaced(state.rack?.cautions) ? null : 'Nothing has taken the place of these records.'),
  async run(state) {
    if (!(await act('rack.keepBoth', {}))) return
    await refreshRack()
    state.warn({
      message: 'Both are kept: what was open here is the newest backup, and what you see now lay in its place.',
      remedy: 'Compare them under Safe keeping before you go on.',
    })
  },
  undo: 'none',
}
