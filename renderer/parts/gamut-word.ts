import { useSyncExternalStore } from 'react'
import type { Lab } from '../../shared-core/colour/lab.ts'
import { labToCssColour } from '../../shared-core/colour/screen.ts'
import type { ScreenSpace } from '../../shared-core/records/side.ts'

const wideQuery = '(color-gamut: p3)'
const wideList = () => (typeof matchMedia === 'function' ? matchMedia(wideQuery) : null)

/** The colours of the screen that the window is on. */
export const screenSpace = (): ScreenSpace => (wideList()?.matches ? 'Display P3' : 'sRGB')

/** As `screenSpace`, and again when the window goes to another screen. */
export const useScreenSpace = (): ScreenSpace => useSyncExternalStore(followScreen, screenSpace)

function followScreen(changed: () => void): () => void {
  const list = wideList()
  list?.addEventListener('change', changed)
  return () => list?.removeEventListener('change', changed)
}

/**
 * How a colour is drawn on this screen, and whether that is another colour: one that lies outside keeps lightness and hue and
 * loses chroma. Screen preview only: never a proof.
 * @param lab  CIELAB D50, 2°
 */
export function paintOf(lab: Lab, space: ScreenSpace = screenSpace()): { css: string; outside: boolean } {
  const { css, hex, inSrgb, inP3 } = labToCssColour(lab)
  return space === 'Display P3' ? { css, outside: !inP3 } : { css: hex, outside: !inSrgb }
}

/** A colour that this screen cannot show is said, never clipped in silence. Null when it can. */
export function gamutWord(lab: Lab): string | null {
  if (!paintOf(lab).outside) return null
  return lab.l > 100 ? 'Lighter than this screen’s white.' : 'Outside what this screen can show.'
}

/** What is drawn in the place of a colour that the screen does not have, for one line on a place that marks such colours. */
export const gamutHow =
  'outside what this screen can show: drawn as light and in the same hue, less colourful; lighter than white, as white'
