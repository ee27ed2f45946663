import type { Command } from '../command.ts'
import { noMaterialShown, shownMaterial } from './shown-material.ts'

/** The field where its amount is said; what becomes of it is chosen beside it. */
export const countMaterial: Command = {
  id: 'shelf.count',
  place: 'shelf',
  label: () => 'Count it',
  shortcut: 'c',
  missing: (state) => (shownMaterial(state) ? null : noMaterialShown),
  run: () => document.getElementById('shelf-amount')?.focus(),
  undo: 'recorded',
}
