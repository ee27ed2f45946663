import { goBack } from '../../state/router.ts'
import type { Command } from '../command.ts'
import { noMaterialShown } from './shown-material.ts'

export const leaveMaterial: Command = {
  id: 'shelf.leave',
  place: 'shelf',
  label: () => 'Back to the shelf',
  shortcut: 'Escape',
  missing: ({ route }) => (route.at === 'shelf' && route.materialId !== null ? null : noMaterialShown),
  run: () => goBack({ at: 'shelf', materialId: null }),
  undo: 'none',
}
