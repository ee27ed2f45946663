import type { Pixels } from '../../../shared-core/capture/pixels.ts'
import { quantile } from '../../../shared-core/capture/statistics.ts'
import { cautionsOfPhoto, surveyOf } from '../../../shared-core/capture/surroundings.ts'
import { srgbProfile } from '../../../shared-core/colour/profile.ts'
import type { Found } from '../../../shared-core/records/proposal.ts'

/** What is told to a phone of a picture that it sent: how to take it better, and nothing of the rack. */
export type Word = { words: string; isGood: boolean }

/**
 * Linear light of the brightest hundredth, of white: a grey card holds 0.18 where the exposure is right, so less than a
 * stop under that is left for everything else (common practice, no source).
 */
const darkLight = 0.07
/** Share of the picture that has run into white: more than a lamp's glare on a curved edge. */
const burntShare = 0.03

const tooDark: Word = { words: 'Too dark: give it more light, then take it again.', isGood: false }
const tooBright: Word = {
  words: 'Too bright: white is burnt out. Pull the brightness down, then take it again.',
  isGood: false,
}
const blurred: Word = { words: 'Blurred: hold still or rest the phone, then take it again.', isGood: false }
const mixedLight: Word = { words: 'Two lights fall on it: switch one off or close the door.', isGood: false }
/** Said until that is known. */
export const lookingForCard: Word = { words: 'Sharp and well lit. Looking for the card …', isGood: true }
const good: Word = { words: 'Good', isGood: true }

/**
 * A word on how a picture was taken, from its smaller copy for the screen. The worst alone: one thing is put right at a time.
 * @param view  8 bits, whatever profile: it is about stops and edges, not about colour
 */
export function wordOnPicture(view: Pixels): Word {
  const survey = surveyOf(view, srgbProfile)
  if (survey.white > burntShare) return tooBright
  if (brightest(view, survey.tables[1]) < darkLight) return tooDark
  const codes = cautionsOfPhoto(view, survey, []).map(({ code }) => code)
  if (codes.includes('photo/blurred')) return blurred
  return codes.includes('photo/mixed-light') ? mixedLight : good
}

const samples = 20_000

function brightest({ data, width, height }: Pixels, green: Float64Array): number {
  const step = Math.max(1, Math.floor((width * height) / samples))
  const lights: number[] = []
  for (let i = 0; i < width * height; i += step) lights.push(green[data[i * 3 + 1]!] ?? 0)
  return quantile(lights, 0.99)
}

/** As `SheetOnPhoto` counts: beyond this a sheet does not lie flat. */
const bent = 2.5

/** What is told once it was looked for in the picture; only where it was well taken. */
export function wordOnFound(found: Found | null, sure: number): Word {
  if (!found) return good
  const { panels, cards, chart, sheet } = found
  if (sheet && sheet.bentMm > bent) return { words: 'The photo sheet does not lie flat.', isGood: false }
  if (sheet && sheet.missing.length > 1)
    return { words: 'Only part of the photo sheet is in the picture.', isGood: false }
  const hasCard = sheet !== null || chart !== null || cards.some(({ confidence }) => confidence >= sure)
  if (!hasCard) return { words: 'No grey card or photo sheet seen.', isGood: false }
  const seen = sheet ? 'photo sheet' : chart ? 'chart' : 'card'
  const hasPanel = panels.some(({ confidence }) => confidence >= sure)
  return { words: hasPanel ? `Good, panel and ${seen} seen` : `Good, ${seen} seen`, isGood: true }
}
