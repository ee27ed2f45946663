import type { Geometry, Illuminant, Observer } from '../../shared-core/records/colour.ts'

/** What stands beside the figures of a colour, as it is chosen from a list. */
export const illuminantInWords: Record<Illuminant, string> = {
  D50: 'D50',
  D65: 'D65, daylight',
  A: 'A, filament lamp',
  C: 'C, old daylight',
  F2: 'F2, cool white tube',
  F11: 'F11, narrow-band tube',
  'LED-B3': 'LED-B3, white LED',
}
export const observerInWords: Record<Observer, string> = { '2': '2° (1931)', '10': '10° (1964)' }

/** How an instrument lights and sees the paint. */
export const instrumentGeometries: Record<Exclude<Geometry, 'photo'>, string> = {
  '45:0': '45° / 0°',
  '0:45': '0° / 45°',
  'd:8-included': 'Sphere, gloss included',
  'd:8-excluded': 'Sphere, gloss excluded',
  'multi-angle': 'Multi-angle',
}
