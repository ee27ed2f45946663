import { client } from '../../client/client.ts'
import { useTaking } from '../../screens/care/archive/archive-state.ts'
import { act } from '../../state/asking.ts'
import type { State } from '../../state/store.ts'
import type { Command } from '../command.ts'

const ending = '.overground.zip'

const isRunning = (state: State): boolean =>
  Object.values(state.jobs).some(
    ({ kind, state: how }) => how === 'running' && (kind === 'archive' || kind === 'import'),
  )

/** The whole rack as one file: where the painter says (window), or as a download (browser). */
export const makeArchive: Command = {
  id: 'care.makeArchive',
  place: 'care',
  label: () => 'Make an archive',
  shortcut: 'a',
  missing: (state) => {
    if (!state.rack) return 'No rack is open.'
    return isRunning(state) ? 'An archive is being worked on.' : null
  },
  async run() {
    const { history } = useTaking.getState()
    if (!client().capabilities.canPickFolder) {
      await act('archive.make', { target: null, replace: false, history })
      return
    }
    const suggested = await act('archive.suggest', {})
    const chosen = suggested && (await client().pickSave('Where the archive is to lie', suggested.fileName))
    if (!chosen) return
    const isNamed = chosen.endsWith(ending)
    const target = isNamed ? chosen : `${chosen.replace(/(\.overground)?(\.zip)?$/i, '')}${ending}`
    // the dialog asked before it let a file be replaced, but about the name that was typed
    await act('archive.make', { target, replace: isNamed, history })
  },
  undo: 'none',
}
