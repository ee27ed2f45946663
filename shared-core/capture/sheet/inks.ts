import type { Lab } from '../../colour/lab.ts'
import type { DecodeTables } from '../../colour/profile.ts'
import type { KnownInk, SheetFit } from '../../records/photo-sheet.ts'
import { type Known, stepsBetween } from '../camera/fit.ts'
import { readPlace } from '../camera/known.ts'
import { mapPoint, middleOf } from '../geometry.ts'
import type { Pixels, Triple } from '../pixels.ts'
import { middleOfRect, quadOnPhoto, type SheetPage } from './page.ts'

/** Taken off each side of a printed place: it lies beside another, and the sheet's place is not known exactly. */
const insetShare = 0.22

/** One printed place as the photo shows it, and the colour that was asked of the printer. */
export type Ink = { hex: string; light: Triple; place: [number, number] }

/** Asked for as white, a place is bare paper, and that is known by all of it. */
const barePaper = '#ffffff'

export const inkPlaces = ({ places }: Pick<SheetPage, 'places'>) =>
  [...places.steps, ...places.colours].filter(({ hex }) => hex !== barePaper)

/** All printed places that can be read, greys first. */
export function readInks(pixels: Pixels, tables: DecodeTables, page: SheetPage): Ink[] {
  return inkPlaces(page).flatMap(({ hex, ...rect }) => {
    const inset = insetShare * Math.min(rect.widthMm, rect.heightMm)
    const quad = quadOnPhoto(page, rect, inset)
    const light = readPlace(pixels, tables, quad)
    return light ? [{ hex, light, place: middleOf(quad) }] : []
  })
}

/** Where the paper's own white is told for: the middle of the page. */
export const placeOfWhite = ({ places, toPhoto }: SheetPage): [number, number] => {
  const { widthMm, heightMm } = places.paper
  return mapPoint(toPhoto, middleOfRect({ xMm: 0, yMm: 0, widthMm, heightMm }))
}

/** Standard deviations of a colour as steps of about dE00: see `Known`. */
export function deviationOf(lab: Lab, { l, a, b }: Lab): Triple {
  const along = (to: Lab) => Math.hypot(...stepsBetween(to, lab))
  return [along({ ...lab, l: lab.l + l }), along({ ...lab, a: lab.a + a }), along({ ...lab, b: lab.b + b })]
}

/**
 * Office papers lie between L* 92 and 97 and a little on the blue side by their brighteners, less so in light without
 * ultraviolet; the black of printers between L* 12 and 30 (common practice, no source).
 */
const usualWhite = { lab: { l: 94.5, a: 0.6, b: -2.5 }, spread: { l: 1.4, a: 1, b: 3 } }
const usualBlack = { lab: { l: 21, a: 0, b: 0 }, spread: { l: 5, a: 2, b: 2.5 } }
/** Greys of a printer are neutral within this; how light it makes them is its own. */
const usualGrey = { l: 9, a: 3.5, b: 4.5 }

/**
 * What a sheet that nobody knows yet tells: its white and black, and that its greys are about neutral.
 * @param white  light of the paper where `placeOfWhite` is; null: beyond the file's limit
 */
export function usualInks(inks: readonly Ink[], page: SheetPage, white: Triple | null): Known[] {
  const { lab: paper, spread: ofPaper } = usualWhite
  const deviation = deviationOf(paper, ofPaper)
  const bare: Known[] = white ? [{ light: white, lab: paper, deviation, place: placeOfWhite(page), printed: true }] : []
  const greys = inks.flatMap((ink): Known[] => {
    const level = greyLevel(ink.hex)
    if (level === null || level > 0) return []
    const lab = {
      l: usualBlack.lab.l + level * (usualWhite.lab.l - usualBlack.lab.l),
      a: 0,
      b: level * usualWhite.lab.b,
    }
    const spread = level === 0 ? usualBlack.spread : usualGrey
    return [{ ...ink, lab, deviation: deviationOf(lab, spread), printed: true }]
  })
  return [...bare, ...greys]
}

/** How light a printed grey is asked to be, 0 to 1, as its encoded number; null for colours. */
export function greyLevel(hex: string): number | null {
  const [r, g, b] = [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16) / 255) as Triple
  return r === g && g === b ? r : null
}

/** dE00 by which a place of one sheet differs from the same place of another of its series, and from photo to photo. */
const sheetToSheet = 0.7
/** The same from one light to another, which inks do not follow as paints do (by judgement). */
const lightToLight = 2.5

/**
 * The casts of printed greys tell nothing of how a camera sees colours; but there are many greys, on a sheet printed in black
 * alone nothing else, and a camera that sees less colour would make their small misfits smaller: they count this much less.
 */
const castTimes = 6
const isGreyish = ({ a, b }: Lab): boolean => Math.hypot(a, b) < 10

/** What a sheet that a chart photo taught tells: every place of it. */
export function knownInks(
  inks: readonly Ink[],
  page: SheetPage,
  white: Triple | null,
  { fit, otherLight }: { fit: SheetFit; otherLight: boolean },
): Known[] {
  const known = (light: Triple, place: [number, number], of: KnownInk): Known => {
    const deviation = Math.hypot(of.deviation, sheetToSheet, otherLight ? lightToLight : 0)
    const tint = isGreyish(of.lab) && light !== white ? castTimes * deviation : deviation
    return { light, place, lab: of.lab, deviation: [deviation, tint, tint], printed: true }
  }
  const byHex = new Map(fit.inks.flatMap((ink) => (ink ? [[ink.hex, ink] as const] : [])))
  return [
    ...(white ? [known(white, placeOfWhite(page), fit.white)] : []),
    ...inks.flatMap(({ hex, light, place }) => {
      const of = byHex.get(hex)
      return of ? [known(light, place, of)] : []
    }),
  ]
}
