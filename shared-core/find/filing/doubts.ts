import type { Caution } from '../../records/photo.ts'

/** Why a photo is not filed unseen, in the painter's words. */
const doubt = (code: keyof typeof brief, message: string, remedy: string): Caution => ({ code, message, remedy })

/** In two or three words, for a list. What stands before the stroke says what settles it: choosing the panel, naming the light, one look. */
const brief = {
  'photo/marked': 'begun',
  'photo/reference': 'a reference?',
  'panel/withdrawn': 'which panel?',
  'place/declined': 'marks declined',
  'panel/several-codes': 'several codes',
  'panel/unknown-code': 'unknown code',
  'panel/in-trash': 'panel in the trash',
  'panel/other-than-said': 'two panels said',
  'panel/other-than-chosen': 'another code in it',
  'panel/said-unknown': 'which panel?',
  'panel/said-several': 'which panel?',
  'panel/not-said': 'which panel?',
  'place/no-panel': 'no panel found',
  'place/chart-alone': 'a chart alone',
  'retake/alike': 'looks like another',
  'retake/same-sitting': 'taken twice',
  'place/several-panels': 'several panels',
  'place/unsure': 'where is the panel?',
  'place/not-seen-in-window': 'no panel in its place?',
  'place/bent-sheet': 'sheet is bent',
  'place/hidden-corners': 'sheet is half hidden',
  'card/none': 'no card',
  'card/sheet-not-known': 'sheet not known',
  'card/unsure': 'where is the card?',
  'steps/not-found': 'steps not found',
  'steps/which-end': 'which end is step 1?',
  'photo/too-dark': 'too dark',
  'photo/overexposed': 'overexposed',
  'light/unknown': 'which light?',
  'photo/changed-meanwhile': 'changed meanwhile',
  'photo/nothing-readable': 'cannot be read',
  'photo/original-missing': 'original missing',
  'photo/stopped-looking': 'cannot be looked at',
} as const

/** A doubt in two or three words; what intake said of the photo has no shorter ones than these. */
export const briefly = ({ code }: Caution): string =>
  Object.hasOwn(brief, code) ? brief[code as keyof typeof brief] : 'look at it'

export const doubts = {
  marked: () =>
    doubt(
      'photo/marked',
      'Somebody has begun to mark this photo.',
      'Look it over and file it, or undo what was marked.',
    ),
  meantAsReference: () =>
    doubt(
      'photo/reference',
      'You meant this photo as a reference to match.',
      'File it as one, or say that it shows a panel.',
    ),
  withdrawn: () =>
    doubt('panel/withdrawn', 'You took back which panel this photo shows.', 'Choose the panel, the same or another.'),
  declined: () =>
    doubt(
      'place/declined',
      'You declined what was found in this photo.',
      'Mark it yourself, or look again to have it proposed anew.',
    ),
  severalCodes: (codes: readonly string[]) =>
    doubt(
      'panel/several-codes',
      `Several codes are in this photo: ${inWords(codes)}.`,
      'Say which panel is meant, or file it once for each.',
    ),
  unknownCode: (code: string) =>
    doubt(
      'panel/unknown-code',
      `The code in this photo says ${code}, and no panel of this rack has it.`,
      'Choose the panel. If it comes from another rack, take that rack’s archive in first.',
    ),
  inTrash: (code: string) =>
    doubt(
      'panel/in-trash',
      `The code in this photo says ${code}, which lies in the trash.`,
      'Bring the panel back first, or choose another.',
    ),
  otherThanSaid: (seen: string, said: string) =>
    doubt(
      'panel/other-than-said',
      `The code in this photo says ${seen}, and whoever sent it said ${said}.`,
      'Look which of them it is, and choose it.',
    ),
  otherThanChosen: (seen: string, chosen: string) =>
    doubt(
      'panel/other-than-chosen',
      `The code in this photo says ${seen}, and ${chosen} is chosen.`,
      'Look whether the panel lies on a sheet that was printed for another.',
    ),
  saidUnknown: (words: string) =>
    doubt('panel/said-unknown', `Whoever sent it said “${words}”, and no panel is called that.`, 'Choose the panel.'),
  saidSeveral: (words: string) =>
    doubt(
      'panel/said-several',
      `Whoever sent it said “${words}”, and several panels are called that.`,
      'Choose the panel.',
    ),
  noCode: () =>
    doubt(
      'panel/not-said',
      'Nothing in this photo says which panel it shows.',
      'Choose the panel. A sheet, label or card with its code in the picture says it next time.',
    ),
  noPanel: () =>
    doubt(
      'place/no-panel',
      'No panel was found in this photo.',
      'Mark the corners of the panel, or take the photo again.',
    ),
  chartAlone: () =>
    doubt(
      'place/chart-alone',
      'A chart alone: keep it as a set-up.',
      'Later photos of this camera in this light then need only the grey card. A panel in the photo can be marked by hand.',
    ),
  alike: (name: string, isFiled: boolean) =>
    doubt(
      'retake/alike',
      `It looks the same as ${name}${isFiled ? ', which is filed' : ''}.`,
      'Discard it if it is a copy; file it if it was taken anew.',
    ),
  retake: (name: string, code: string, isFiled: boolean) =>
    doubt(
      'retake/same-sitting',
      isFiled
        ? `${name} was filed to ${code} from the same sitting.`
        : `${name} in the tray shows ${code} too, from the same sitting.`,
      'Let this one take its place, or file both: as another view, or as another look at it.',
    ),
  severalPanels: (count: number) =>
    doubt(
      'place/several-panels',
      `${count} panels were found in this photo.`,
      'Look whether the right one is marked. Once it is filed, “Another panel in this picture” marks the next.',
    ),
  unsurePanel: () =>
    doubt(
      'place/unsure',
      'It is not sure where the panel lies.',
      'Look at its corners and pull them where they belong.',
    ),
  notSeenInWindow: () =>
    doubt(
      'place/not-seen-in-window',
      'The edges of a panel were not seen in its place on the sheet.',
      'Look whether it lies there; pull the corners where they belong.',
    ),
  bentSheet: (mm: number) =>
    doubt(
      'place/bent-sheet',
      `The photo sheet is bent or folded: its marks lie up to ${mm.toFixed(1)} mm from their places.`,
      'Look at the corners of the panel, or lay the sheet flat and take the photo again.',
    ),
  hiddenCorner: () =>
    doubt(
      'place/hidden-corners',
      'More than one corner of the photo sheet is hidden.',
      'Look at the corners of the panel, or take the photo again with all corners free.',
    ),
  noCard: () =>
    doubt(
      'card/none',
      'No grey card was found in this photo.',
      'Mark the card. On a photo sheet none is needed once the sheet was photographed with a 24-patch chart.',
    ),
  /** It is filed all the same: its readings say how far they can be trusted. */
  sheetNotKnown: (): Caution => ({
    ...doubt(
      'card/sheet-not-known',
      'The colours of this photo sheet are not known in this light, and no grey card lies on it: readings get a wider ±.',
      'Photograph the sheet once with a 24-patch chart in its place, or lay the grey card there.',
    ),
    weight: 'note',
  }),
  unsureCard: () =>
    doubt(
      'card/unsure',
      'It is not sure where the grey card lies.',
      'Look at its corners and pull them where they belong.',
    ),
  steps: (found: number, wanted: number) =>
    doubt(
      'steps/not-found',
      found < 2
        ? `The ${wanted} steps of the panel were not found: it was cut into equal strips.`
        : `${found} steps were found and the panel has ${wanted}: it was cut into equal strips.`,
      'Pull the cuts to the edges of the steps.',
    ),
  whichEnd: () =>
    doubt(
      'steps/which-end',
      'It cannot be told at which end the first step lies.',
      'Look at the numbers of the steps; turn them round where they run the other way.',
    ),
  tooDark: () =>
    doubt('photo/too-dark', 'The photo is very dark.', 'Take it again with more light, or a longer exposure.'),
  blown: () =>
    doubt(
      'photo/overexposed',
      'The paint is overexposed: the camera saw no difference any more in a part of it.',
      'Take it again with a shorter exposure, or with the lamp further away.',
    ),
  lightUnknown: (words: string) =>
    doubt(
      'light/unknown',
      `Whoever sent it said the light is “${words}”, which this rack does not know.`,
      'Choose the light.',
    ),
  ofPhoto: ({ code, message, remedy }: Caution): Caution => ({ code, message, remedy }),
} as const

const inWords = (words: readonly string[]): string =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`
