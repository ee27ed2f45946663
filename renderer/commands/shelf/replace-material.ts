import { useShelf } from '../../state/shelf.ts'
import type { Command } from '../command.ts'
import { noMaterialShown, shownMaterial } from './shown-material.ts'

export const replaceMaterial: Command = {
  id: 'shelf.replace',
  place: 'shelf',
  label: () => 'Put another in its place',
  shortcut: null,
  missing: (state) => (shownMaterial(state) ? null : noMaterialShown),
  run: (state) => useShelf.setState({ replacing: shownMaterial(state)?.id ?? null }),
  undo: 'recorded',
}
