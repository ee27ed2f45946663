import { missingToReplace } from '../../screens/tray/desk-actions.ts'
import { useDesk } from '../../screens/tray/desk-state.ts'
import { guessesOf, retakeNow, takeInWords } from '../../screens/tray/proposing/found.ts'
import {
  lookAgain as again,
  keepRetake as keepThis,
  nextGuess,
  takeGuess as take,
} from '../../screens/tray/proposing/proposing.ts'
import { keepBoth as keepBothPhotos } from '../../screens/tray/proposing/said.ts'
import type { Command } from '../command.ts'

/** Asks anew what the photo shows, with the panel that was said. */
export const lookAgain: Command = {
  id: 'tray.lookAgain',
  place: 'tray',
  label: () => (useDesk.getState().looking ? 'Looking…' : 'Look again'),
  shortcut: 'l',
  missing() {
    const { photo, looking, awaited } = useDesk.getState()
    if (!photo) return 'No photo is open.'
    if (photo.filed) return 'This photo is filed already.'
    return looking || awaited ? 'It is being looked at.' : null
  },
  run: () => again(),
  undo: 'none',
  leadsToChange: true,
}

/** Takes what was only guessed among the marks, likeliest first. */
export const takeGuess: Command = {
  id: 'tray.takeGuess',
  place: 'tray',
  label() {
    const guess = nextGuess()
    return guess ? takeInWords(guess) : 'Take what may be one'
  },
  shortcut: 'm',
  missing: () => (guessesOf(useDesk.getState()).length > 0 ? null : 'Nothing else was found.'),
  run() {
    const guess = nextGuess()
    if (guess) take(guess)
  },
  undo: 'none',
  leadsToChange: true,
}

const isRetake = () => (retakeNow(useDesk.getState()) ? null : 'It is not taken again of another photo.')

/** This photo is filed, and then the earlier one is discarded: nothing is removed before this one stands in its place. */
export const keepRetake: Command = {
  id: 'tray.keepRetake',
  place: 'tray',
  label: () => 'File in its place',
  shortcut: 'e',
  missing: () => isRetake() ?? missingToReplace(useDesk.getState()),
  run: () => keepThis(),
  undo: 'recorded',
}

/** Nothing is discarded, and the question is not asked again. */
export const keepBoth: Command = {
  id: 'tray.keepBoth',
  place: 'tray',
  label: () => 'Keep both',
  shortcut: 'v',
  missing: isRetake,
  run: () => keepBothPhotos(),
  undo: 'none',
}
