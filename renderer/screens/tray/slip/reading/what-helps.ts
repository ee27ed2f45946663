import type { Level } from '../../../../../shared-core/records/colour.ts'
import type { BoundPart } from '../../../../../shared-core/records/reading.ts'

/** What the desk has already, so that nobody is told to do it again. */
export type AtHand = { tiles: boolean; flat: boolean; setups: boolean }

/** A part below this share of the whole (as squares add) is not worth the painter's time. */
const worthShare = 0.08
const most = 3

/** Causes of which a remedy is known; the camera's own depend on the level. */
const remedies: Readonly<Record<string, string>> = {
  card: 'Light the card like the panel, without a shadow or glare on it.',
  place: 'Lay the card close beside the panel, in the same light.',
  'sheet-light': 'Lay the sheet flat in even light, without shadows over it.',
  'card-noise': 'Mark more of the card, or photograph it larger.',
  light: 'Evener light: turn the panel or move the lamp; a blank-sheet photo takes out what is left.',
  noise: 'Mark a larger area, or give the camera more light.',
  texture: 'Mark a larger area: more flake evens out.',
  glare: 'Move the lamp so that its glare misses the area, or mark beside it.',
  clipping: 'Expose less, so that no colour reaches the limit of the file.',
  zero: 'Expose more, or let the camera save a wider colour space (Display P3).',
  area: 'Mark a larger area, or photograph from nearer.',
  curved: 'Spray a flat panel with it: on a curved part light and view change.',
  'mixed-light': 'Use one kind of light only: close the shutters or switch the other off.',
}

const isCamera = ({ cause, shared }: BoundPart) =>
  shared !== undefined || cause === 'camera' || cause === 'uncalibrated'

function forLevel(level: Level, { tiles, setups }: AtHand): string[] {
  const setup = setups
    ? 'Choose the set-up of this camera and light, if it is calibrated.'
    : 'Calibrate a set-up once with the chart: later photos then need only the card.'
  switch (level) {
    case 'uncalibrated':
      return ['Mark the grey card, or lay one beside the panel and photograph again.']
    case 'card':
      return ['Lay the 24-patch chart in the picture, or white and black tiles beside the card.', setup]
    case 'tiles':
      return ['Lay the 24-patch chart in the picture.', setup]
    case 'sheet':
      return ['Lay the 24-patch chart into its place on the sheet and let it be learnt anew in this light.']
    case 'set-up':
      return ['Lay the chart in the picture again, or calibrate the set-up anew in this light.']
    default:
      return tiles ? [] : ['White and black tiles beside the card check the chart and its light.']
  }
}

/** What would make a bound smaller, for its largest parts first. */
export function whatHelps(parts: readonly BoundPart[], level: Level, atHand: AtHand): string[] {
  const total = parts.reduce((sum, { de00 }) => sum + de00 ** 2, 0)
  const main = parts.filter(({ de00 }) => de00 ** 2 >= worthShare * total).toSorted((a, b) => b.de00 - a.de00)
  const said = main.flatMap((part) => {
    const remedy = remedies[part.cause]
    if (remedy !== undefined)
      return part.cause === 'light' && atHand.flat ? ['Evener light: turn the panel or move the lamp.'] : [remedy]
    return isCamera(part) ? forLevel(level, atHand) : []
  })
  return [...new Set(said)].slice(0, most)
}
