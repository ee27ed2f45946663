import type { Caution } from '../records/photo.ts'

const say = (code: string, message: string, remedy: string): Caution => ({ code, message, remedy })

const note = (code: string, message: string, remedy: string): Caution => ({ code, message, remedy, weight: 'note' })

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
    'Part of the card is much darker than the rest: it lies in shadow, or its outline reaches beyond the card.',
    'Drag the outline onto the card. If a shadow lies on it, take the photo again with card and panel in the same light.',
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
  noCardOnSheet: note(
    'photo/no-card',
    'No grey card is marked: the paper of the photo sheet stands for it, and how white that is nobody has told.',
    'Lay the card into its frame on the sheet, or photograph the sheet once with a 24-patch chart in its place.',
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
  channelAtZero: note(
    'photo/channel-at-zero',
    'Red, green or blue is at 0 here: this paint is stronger in colour than the file can hold, and than what was read.',
    'A file of wider gamut holds more: set the camera to Display P3 or Adobe RGB, or export 16 bits in one of them.',
  ),
  noChart: say(
    'setup/no-chart',
    'No chart is marked in this photo, and a set-up is learnt from a chart.',
    'Mark the four outer corners of the 24-patch chart, starting at the dark skin patch.',
  ),
  chartUnreadable: say(
    'setup/chart-unreadable',
    'The marked outline does not fit a 24-patch chart: its patches do not show the colours they should.',
    'Drag the four corners onto the outer corners of the patches, starting at the dark skin patch, and see that the chart is evenly lit and not overexposed.',
  ),
  chartTurned: say(
    'setup/chart-unreadable',
    'The chart’s outline starts at another corner than its first patch.',
    'Turn the outline by a quarter until its first corner lies at the dark skin patch.',
  ),
  chartMisplaced: say(
    'photo/chart-unreadable',
    'The marked outline does not fit a 24-patch chart, so the chart was not used for this reading.',
    'Drag its corners onto the outer corners of the patches, starting at the dark skin patch.',
  ),
  chartPoor: say(
    'photo/chart-poor',
    'The chart fits only roughly: uneven light, flare or an old chart make its colours differ from their table.',
    'Take it again in even light, squarely, without a lamp shining on it.',
  ),
  chartClipped: say(
    'photo/chart-clipped',
    'Some patches of the chart are too bright or too dark in this photo and were left out.',
    'Take it again with a little less exposure if bright panels are to be read with this set-up.',
  ),
  sheetOverexposed: say(
    'photo/sheet-overexposed',
    'The paper of the photo sheet has run into pure white, so it tells nothing of the light.',
    'Take it again with less exposure: tap the white of the sheet on the phone and pull the brightness down.',
  ),
  sheetOtherLight: note(
    'photo/sheet-other-light',
    'The sheet’s colours were learnt in another light than this photo’s, and inks look different from light to light.',
    'Photograph the sheet once with the 24-patch chart in this light too.',
  ),
  sheetAbsent: say(
    'sheet/not-seen',
    'No photo sheet was found in this photo, and only a sheet’s own paper and colours can be learnt.',
    'Photograph the sheet with its four corners in the picture, the 24-patch chart lying in its place.',
  ),
  sheetChartAbsent: say(
    'sheet/no-chart',
    'No 24-patch chart is marked on the photo sheet, and its colours are learnt from one.',
    'Lay the chart into its place on the sheet, take the photo, and mark the chart’s four outer corners.',
  ),
  sheetChartUnreadable: say(
    'sheet/unreadable',
    'The marked outline does not fit a 24-patch chart, or its patches are too bright or too dark to read.',
    'Drag the four corners onto the outer corners of the patches, starting at the dark skin patch, and see that the chart is evenly lit.',
  ),
  sheetInksUnread: say(
    'sheet/unreadable',
    'The printed greys and colours of the sheet cannot be read in this photo.',
    'Take it again with nothing lying over them, the sheet flat and less exposed.',
  ),
  sheetInksFew: say(
    'sheet/inks-few',
    'Some of the printed greys and colours could not be read and are left out of what is known of this sheet.',
    'Take the photo again with nothing lying over them if you want all of them.',
  ),
  sheetUnread: say(
    'photo/sheet-unread',
    'Too little of the photo sheet’s bare paper is seen to tell how the light falls on it, so the sheet was not used.',
    'Take it again with the whole sheet in the picture, flat, with nothing but panel and card on it.',
  ),
  otherProfile: say(
    'photo/set-up-other-profile',
    'This file’s numbers are in another colour profile than the set-up’s, so the set-up was not used.',
    'Use photos from the same camera setting, or calibrate a set-up with a chart photo in this profile.',
  ),
  flatOverexposed: say(
    'photo/flat-overexposed',
    'The photo of the blank sheet is overexposed, so its brightest part tells nothing of the light.',
    'Take it again with less exposure, until the sheet looks light grey.',
  ),
  flatTooDark: say(
    'photo/flat-too-dark',
    'The photo of the blank sheet is too dark to tell how the light spreads.',
    'Take it again with more exposure, until the sheet looks light grey.',
  ),
  flatTooSmall: say(
    'photo/flat-too-small',
    'The photo of the blank sheet has too few pixels to tell how the light spreads.',
    'Take the photo with the same camera as the panels, at full size.',
  ),
  flatNotFilling: say(
    'photo/flat-not-filling',
    'The blank sheet does not fill its photo, or a shadow lies over it.',
    'Take it again with a larger sheet, or from nearer, so that nothing but the sheet is seen.',
  ),
  flatStructured: say(
    'photo/flat-structured',
    'The photo does not show a blank sheet: it has a pattern, or things lie on it.',
    'Photograph a plain matt sheet of paper in the same place and light.',
  ),
  flatUneven: say(
    'photo/flat-uneven',
    'Light falls off across the blank sheet to less than a third: too much to make up for.',
    'Move the lamp farther away, and take both photos again.',
  ),
  flatOtherWay: say(
    'photo/flat-other-way',
    'The photo of the blank sheet was held another way or cut otherwise than this photo, so it was not used.',
    'Take the blank sheet again with the phone held as for the panels.',
  ),
  brightPlacesLost: say(
    'photo/overexposed',
    'The photo is overexposed: bright places have run into pure white, and what is left of them is paler than the paint.',
    'Take it again with less exposure: tap the brightest panel on the phone and pull the brightness down.',
  ),
  unevenFilmOrLight: note(
    'photo/uneven-film-or-light',
    'The paint gets brighter from one side of this area to the other: the film is uneven, or the light is.',
    'Turn the panel by half a turn and take another photo: if the bright side turns with it, it is the film.',
  ),
  cardNotNeutral: say(
    'photo/card-not-neutral',
    'What is marked as the grey card is more strongly coloured than any light makes a grey card.',
    'See that the outline lies on the card and not on a panel or a coloured patch.',
  ),
  cardOnPaint: say(
    'photo/card-not-neutral',
    'The card is marked on the paint that is to be read: it looks just like the area around it.',
    'Drag the card’s outline onto the grey card, or take the photo again with the card beside the panel.',
  ),
  cardDisagrees: say(
    'photo/card-disagrees',
    'The card does not agree with the other known colours (chart, tiles or set-up): one is dirty, in another light, or not what was entered.',
    'Check the Lab entered for the card, wipe it, lay all of them flat side by side in the same light, and take the photo again.',
  ),
  cardDisagreesALittle: note(
    'photo/card-disagrees',
    'The card and the other known colours (chart, tiles or set-up) disagree a little.',
    'Lay them close beside each other in the same light, and check the Lab entered for the card.',
  ),
  setupOtherCamera: say(
    'photo/set-up-other-camera',
    'This photo is from another camera than its set-up.',
    'Choose the set-up of this camera, or calibrate one with a photo of the chart.',
  ),
  setupOtherLens: say(
    'photo/set-up-other-camera',
    'This photo was taken with another lens of the camera than its set-up, and lenses see colours differently.',
    'Take it again at the zoom of the chart photo, or calibrate a set-up for this lens.',
  ),
  setupOtherExposure: say(
    'photo/set-up-drifted',
    'This photo was exposed otherwise than the chart of its set-up, and there is no card to take that out.',
    'Mark the card, or lay one beside the panel and take the photo again.',
  ),
  setupNoCardAuto: note(
    'photo/set-up-drifted',
    'The camera chose its white balance anew for this photo, and there is no card to take that out.',
    'Lay the card beside the panel, or lock exposure and white balance as in the chart photo.',
  ),
  setupOtherLight: say(
    'photo/set-up-drifted',
    'The card has quite another colour in this photo than when the set-up was calibrated: this is another light.',
    'Choose the set-up of this light, or calibrate one with a photo of the chart.',
  ),
  setupDrifted: note(
    'photo/set-up-drifted',
    'Light or white balance are no longer as they were when the set-up was calibrated: the card takes out brightness and tint, but not all of it.',
    'See that camera and light are those of the set-up, or photograph the chart again and calibrate it anew.',
  ),
  setupAutoBalance: note(
    'photo/set-up-drifted',
    'The set-up was calibrated with a fixed white balance, and this photo has an automatic one; the card takes most of it out.',
    'Lock the white balance again as in the chart photo.',
  ),
} as const satisfies Record<string, Caution>
