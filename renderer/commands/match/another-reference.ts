import { go } from '../../state/router.ts'
import type { Command } from '../command.ts'

export const anotherReference: Command = {
  id: 'match.anotherReference',
  place: 'match',
  label: () => 'Another reference',
  shortcut: null,
  missing: () => null,
  run: () => go({ at: 'match', referenceId: null }),
  undo: 'none',
}
