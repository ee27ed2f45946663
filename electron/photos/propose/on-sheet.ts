import { pointInQuad } from '../../../shared-core/capture/geometry.ts'
import type { Pixels } from '../../../shared-core/capture/pixels.ts'
import type { RgbProfile } from '../../../shared-core/colour/profile.ts'
import { thingsOnSheet } from '../../../shared-core/find/on-sheet/things-on-sheet.ts'
import { sheetQuad } from '../../../shared-core/find/sheet/sheet-quad.ts'
import { type FoundThings, findThings } from '../../../shared-core/find/things/find-things.ts'
import { overlapOf } from '../../../shared-core/find/things/overlap.ts'
import { centreOf } from '../../../shared-core/find/things/sides.ts'
import { findSteps } from '../../../shared-core/find/things/steps.ts'
import { photoSheetPlaces } from '../../../shared-core/label/photo-sheet/places.ts'
import type { Quad } from '../../../shared-core/records/area.ts'
import { type FoundSheet, type FoundThing, surely } from '../../../shared-core/records/proposal.ts'

/** A smaller panel than the sheet is made for covers this much of its window. */
const leastCovered = 0.4
/** What lies beside a page covers less of it than this. */
const mostOfPage = 0.5

/**
 * What lies in a picture with a sheet: the panel in its window comes first, then card and chart in their places. Marks, greys and
 * colours that are printed on it are nothing that lies there.
 * @param picture  that the sheet was found in
 */
export function onSheet(picture: Pixels, profile: RgbProfile, sheet: FoundSheet): FoundThings {
  const lying = sheet.confidence >= surely ? thingsOnSheet(picture, profile, sheet) : null
  const isSure = (thing: FoundThing | null | undefined) => thing != null && thing.confidence >= surely
  if (lying && isSure(lying.panel) && (isSure(lying.card) || isSure(lying.chart)))
    return {
      panels: [withSteps(picture, profile, lying.panel)],
      cards: lying.card ? [lying.card] : [],
      chart: lying.chart,
    }
  const things = findThings(picture, profile)
  if (!lying) return things
  const places = photoSheetPlaces(sheet.print.paper, sheet.print.panel)
  const page = sheetQuad(sheet, { xMm: 0, yMm: 0, ...places.paper })
  const [window, card] = [sheetQuad(sheet, places.window), sheetQuad(sheet, places.card)]
  const isBeside = ({ quad }: FoundThing) => !pointInQuad(centreOf(quad), page) && overlapOf(quad, page) < mostOfPage
  const panel = isSure(lying.panel) ? lying.panel : (bestIn([...things.panels, ...things.cards], window) ?? lying.panel)
  const ownCard = lying.card ?? bestIn(things.cards, card)
  return {
    panels: [withSteps(picture, profile, panel), ...things.panels.filter(isBeside)],
    cards: [...(ownCard ? [ownCard] : []), ...things.cards.filter(isBeside)],
    chart: lying.chart ?? things.chart,
  }
}

const withSteps = (picture: Pixels, profile: RgbProfile, { quad, confidence }: FoundThing) => ({
  quad,
  confidence,
  steps: findSteps(picture, profile, quad),
})

/** The likeliest thing that lies in a place and fills a good part of it. */
function bestIn<T extends FoundThing>(things: readonly T[], place: Quad): T | null {
  let best: T | null = null
  for (const thing of things) {
    const fits = overlapOf(thing.quad, place) >= leastCovered && pointInQuad(centreOf(thing.quad), place)
    if (fits && thing.confidence > (best?.confidence ?? 0)) best = thing
  }
  return best
}
