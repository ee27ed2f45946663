import type { Lab } from '../../shared-core/colour/lab.ts'
import { labToCssColour } from '../../shared-core/colour/spaces.ts'

/** A colour that this screen cannot show is said, never clipped in silence. Null when it can. */
export function gamutWord(lab: Lab): string | null {
  const { inSrgb, inP3 } = labToCssColour(lab)
  const wide = typeof matchMedia === 'function' && matchMedia('(color-gamut: p3)').matches
  return (wide ? inP3 : inSrgb) ? null : 'Outside what this screen can show.'
}
