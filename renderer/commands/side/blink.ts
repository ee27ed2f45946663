import { sideRoute, useSide, wantsLessMotion } from '../../state/side.ts'
import type { Command } from '../command.ts'

/** The chosen colour and its neighbour by turns in one place; with less motion asked for, by key only. */
export const blink: Command = {
  id: 'side.blink',
  place: 'side',
  label: () => (useSide.getState().blink ? 'Stop blinking' : 'Blink'),
  shortcut: 'b',
  missing: () => ((sideRoute()?.items.length ?? 0) > 1 ? null : 'Two are needed: lay another beside this one first.'),
  run() {
    useSide.setState(({ blink: now }) => ({ blink: now ? null : { sees: 'chosen', held: wantsLessMotion() } }))
  },
  undo: 'none',
}
