import type { Caution } from '../records/photo.ts'

const say = (code: string, message: string, remedy: string): Caution => ({ code, message, remedy })

/** Everything a photo can be refused or warned about while it is read, in a painter's words. */
export const words = {
  overexposed: say(
    'photo/overexposed',
    'The photo is overexposed: the brightest places have run into pure white and lost their colour.',
    'Take it again with less exposure: tap the brightest panel on the phone and pull the brightness down.',
  ),
  areaOverexposed: say(
    'photo/overexposed',
    'Part of the paint is so bright in this photo that red, green or blue has run into its limit; the real colour is brighter or stronger than what was read.',
    'Take it again with less exposure, or read the panel from another photo.',
  ),
  tooDark: say(
    'photo/too-dark',
    'The photo is too dark: the card is hardly above the noise of the camera.',
    'Use more light or a longer exposure, and rest the phone on something steady.',
  ),
  mixedLight: say(
    'photo/mixed-light',
    'The colour of the light changes across the photo: two different lights fall on it, such as a lamp and daylight.',
    'Switch one of the lights off or close the door, and lay the card close beside the panel.',
  ),
  blurred: say(
    'photo/blurred',
    'The photo is blurred: no sharp edge was found in it.',
    'Hold still or rest the phone on something, tap the panel to focus, and take it again.',
  ),
  cardHalfShadow: say(
    'photo/card-half-shadow',
    'Part of the card lies in shadow, so the photo does not say how much light fell on the panel.',
    'Step out of the light and take the photo again with card and panel in the same light.',
  ),
  cardNotEven: say(
    'photo/card-not-even',
    'The card is not evenly bright: light falls off across it, or it shines or is dirty.',
    'Turn it so that it does not shine, wipe it, and light card and panel from farther away.',
  ),
  cardUnreadable: say(
    'photo/card-unreadable',
    'The card could not be read: its outline crosses itself, lies outside the photo or holds hardly any pixels.',
    'Mark the card again, well inside its edges.',
  ),
  cardColour: say(
    'photo/card-colour',
    'The Lab numbers of the card are not those of a grey or white card.',
    'Check the Lab entered for the card: a* and b* of a grey card are near 0.',
  ),
  noCard: say(
    'photo/no-card',
    'No grey card is marked, so camera and light are not taken out of this colour: it can be far off.',
    'Mark the card in the photo, or take it again with the card lying beside the panel.',
  ),
  mostlyGlare: say(
    'photo/panel-mostly-glare',
    'Most of this area is glare: the reflection of a light hides the paint.',
    'Tilt the panel or move the light until the reflection leaves it, or mark an area beside the glare.',
  ),
  tinyArea: say(
    'photo/tiny-area',
    'The marked area is very small in this photo; flake, grain and noise do not average out.',
    'Mark a larger area, or take the photo from nearer.',
  ),
  fewPixels: say(
    'photo/few-pixels',
    'Too little of the area is left to read after glare, shadow and dirt were left out.',
    'Mark an area that shows the bare paint, or take the photo with less glare.',
  ),
  badOutline: say(
    'photo/bad-outline',
    'The outline of this area crosses itself, is flat as a line, or lies outside the photo.',
    'Drag its corners so that they run round the paint.',
  ),
  channelAtZero: say(
    'photo/channel-at-zero',
    'Red, green or blue is at 0 here: this paint is stronger in colour than the file can hold, and than what was read.',
    'A file of wider gamut holds more: set the camera to Display P3 or Adobe RGB, or export 16 bits in one of them.',
  ),
} as const satisfies Record<string, Caution>
