import { bestReading } from '../../parts/best-reading.ts'
import { coatsInWords } from '../../parts/strokes.tsx'
import { isAmong, type Pin, pinsNow, togglePin } from '../../state/pins.ts'
import type { State } from '../../state/store.ts'
import type { Command } from '../command.ts'
import { notShown, shownPanel } from './shown-panel.ts'

function pinOf(state: State): Pin | null {
  const shown = shownPanel(state)
  const best = shown && bestReading(shown.readings, shown.panel.steps)
  if (!shown || !best) return null
  const coats = shown.panel.steps.find(({ id }) => id === best.stepId)?.coats
  const name = `${shown.panel.code} ${shown.panel.title}`.trim()
  return {
    item: { kind: 'reading', id: best.id },
    name: coats === undefined ? name : `${name}, ${coatsInWords(coats)}`,
    lab: best.lab,
  }
}

/** Put aside to be laid side by side with others. */
export const pinPanel: Command = {
  id: 'panel.pin',
  place: 'panel',
  label(state) {
    const pin = pinOf(state)
    return pin && isAmong(pinsNow(), pin.item) ? 'Pinned' : 'Pin'
  },
  shortcut: 'x',
  missing(state) {
    if (!shownPanel(state)) return notShown
    return pinOf(state) ? null : 'This panel has no reading yet: photograph it or type a colour first.'
  },
  run(state) {
    const pin = pinOf(state)
    if (pin) togglePin(pin)
  },
  undo: 'none',
}
