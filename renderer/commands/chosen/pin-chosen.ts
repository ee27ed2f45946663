import { addPins } from '../../state/pins.ts'
import { useSummaries } from '../../state/summaries.ts'
import type { Command } from '../command.ts'

/** Puts the chosen panels aside, to be laid side by side with what Match finds. */
export const pinChosen: Command = {
  id: 'chosen.pin',
  place: 'rack',
  label: () => 'Pin for side by side',
  shortcut: null,
  missing: ({ chosen }) => (chosen.length === 0 || chosen.length > 6 ? 'Choose one to six panels.' : null),
  run({ chosen, say }) {
    const { held } = useSummaries.getState()
    addPins(
      chosen.map((id) => {
        const panel = held.get(id)?.summary
        const band = panel?.bands.filter(({ lab }) => lab !== null).toSorted((a, b) => b.coats - a.coats)[0]
        return {
          item: { kind: 'panel', id },
          name: panel ? `${panel.code} ${panel.title}`.trim() : 'a panel',
          lab: band?.lab ?? null,
        }
      }),
    )
    say(
      chosen.length === 1 ? 'Pinned.' : `${chosen.length} panels pinned.`,
      'They wait in Match, and lie side by side with Shift C.',
    )
  },
  undo: 'none',
}
