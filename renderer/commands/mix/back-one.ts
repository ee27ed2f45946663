import { backOne } from '../../screens/mix/bench/pour.ts'
import type { Command } from '../command.ts'
import { notPouring, shownCup } from './shown-cup.ts'

/** The step before; what was poured stays until another figure is typed. */
export const backOneStep: Command = {
  id: 'mix.backOne',
  place: 'mix',
  label: () => 'Back one',
  shortcut: 'Backspace',
  missing: notPouring,
  run(state) {
    const shown = shownCup(state)
    if (shown) backOne(shown.cup, shown.materials)
  },
  undo: 'none',
}

export const backOneByArrow: Command = { ...backOneStep, id: 'mix.backOneByArrow', shortcut: 'ArrowLeft' }
