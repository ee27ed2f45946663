import type { Command } from '../command.ts'

export const findMaterial: Command = {
  id: 'shelf.find',
  place: 'shelf',
  label: () => 'Find a material',
  shortcut: '/',
  missing: () => (document.getElementById('shelf-find') ? null : 'Go back to the whole shelf first.'),
  run: () => document.getElementById('shelf-find')?.focus(),
  undo: 'none',
}
