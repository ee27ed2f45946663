import { Refusal } from '../../contract/refusal.ts'
import { photoSheetPlaces } from '../../label/photo-sheet/places.ts'
import type { Rect } from '../../label/photo-sheet/room.ts'
import type { Card, Layout, Quad } from '../../records/area.ts'
import type { Caution, Photo } from '../../records/photo.ts'
import type { SheetPrint } from '../../records/photo-sheet.ts'
import { type Found, type FoundSheet, type Proposal, surely } from '../../records/proposal.ts'
import { sheetQuad } from '../sheet/sheet-quad.ts'
import { alongOf, type ColoursAlong } from './colours-along.ts'
import { doubts } from './doubts.ts'
import { areasOf, cardIn, chartIn, scaleOf, whereIsPanel } from './places.ts'
import { ageOn, supposeStage } from './suppose.ts'
import type { KnownPanel } from './which-panel.ts'

export type PhotoFacts = Pick<Photo, 'id' | 'view' | 'stage'> & {
  cautions: readonly Caution[]
  takenAt: string | null
  /** Somebody has marked something on it. */
  isMarked: boolean
  /** The painter will not have what was found in it. */
  isDeclined: boolean
  /** The painter means it as a reference. */
  isReference: boolean
}

/** What looking at a photo came to. */
export type Look = {
  state: Proposal['state']
  found: Found | null
  colours: readonly ColoursAlong[]
  /** How bright the brightest parts are: L* of the 98th percentile; null: not known. */
  brightest: number | null
  /** Why it cannot be looked at. */
  why: Caution | null
}

/** What the rack knows beside. */
export type Told = {
  panel: KnownPanel | null
  /** Why the panel is not sure, see `whichPanel`. */
  panelDoubt: Caution | null
  said: Proposal['said']
  lightId: string | null
  /** Whoever sent it named a light that nobody knows. */
  isLightUnknown: boolean
  setupId: string | null
  isSheetKnown: boolean
  card: Card['lab']
  cardSizeMm: { width: number; height: number } | null
  /** An earlier photo that looks the same. */
  alike: { name: string; filed: boolean } | null
  retakeOf: Proposal['retakeOf']
}

/** Below this the brightest parts of a photo leave the camera little to tell colours by. Our own figure, no source. */
const darkest = 45
/** A lamp's glare is left out as the paint is read; of more than so much too little paint is left. Our own figure, no source. */
const mostBlown = 0.35
/** A sheet whose marks lie further from their places is not flat. Our own figure, no source. */
const mostBentMm = 1

/** All that filing a photo needs, as far as it can be told, and why it should not be filed unseen. */
export function decide(photo: PhotoFacts, look: Look, told: Told): Proposal {
  const { found } = look
  const { panel } = told.panel ?? { panel: null }
  const { layout, doubts: placed } = found ? layOut(found, look.colours, told) : nothing
  const said: (Caution | null)[] = [
    look.state === 'failed' ? (look.why ?? null) : null,
    photo.isMarked ? doubts.marked() : null,
    photo.isReference ? doubts.meantAsReference() : null,
    photo.isDeclined ? doubts.declined() : null,
    isChartAlone(placed) && told.panelDoubt?.code === 'panel/not-said' ? null : told.panelDoubt,
    ...placed.filter(isOfPlace),
    told.alike ? doubts.alike(told.alike.name, told.alike.filed) : null,
    told.retakeOf && panel ? doubts.retake(told.retakeOf.name, panel.code, told.retakeOf.filed) : null,
    ...placed.filter((one) => !isOfPlace(one)),
    told.isLightUnknown && told.said ? doubts.lightUnknown(told.said.light) : null,
    look.brightest !== null && look.brightest < darkest ? doubts.tooDark() : null,
    ...photo.cautions.filter(({ weight }) => weight !== 'note').map(doubts.ofPhoto),
  ]
  return {
    photoId: photo.id,
    state: look.state,
    found,
    layout,
    panelId: panel?.id ?? null,
    panelCode: panel?.code ?? null,
    panelTitle: panel?.title ?? null,
    lightId: told.lightId,
    setupId: told.setupId,
    view: photo.view,
    stage: panel ? supposeStage(panel, photo.stage) : photo.stage,
    ageDays: panel ? ageOn(photo.takenAt, panel) : null,
    // what nobody has looked at is neither sure nor doubtful
    doubts: look.state === 'waiting' ? [] : worstFirst(said.filter((one) => one !== null)),
    retakeOf: told.retakeOf,
    said: told.said,
  }
}

/** A chart belongs to no panel. */
const isChartAlone = (placed: readonly Caution[]): boolean => placed.some(({ code }) => code === 'place/chart-alone')

/** Whether it was taken twice is no matter where it cannot be read. */
const isOfPlace = ({ code }: Caution): boolean => code.startsWith('place/')

/** Notes ask for nothing, and do not keep a photo from being filed. */
export const isHeldBack = ({ doubts: all }: Pick<Proposal, 'doubts'>): boolean =>
  all.some(({ weight }) => weight !== 'note')

const worstFirst = (all: readonly Caution[]): Caution[] => [
  ...all.filter(({ weight }) => weight !== 'note'),
  ...all.filter(({ weight }) => weight === 'note'),
]

const nothing = { layout: null, doubts: [] }

function layOut(
  found: Found,
  colours: readonly ColoursAlong[],
  told: Told,
): { layout: Layout | null; doubts: Caution[] } {
  const sheet = found.sheet && found.sheet.confidence >= surely ? found.sheet : null
  const rect = sheet && windowOf(sheet.print)
  const window = sheet && rect ? sheetQuad(sheet, rect) : null
  const place = whereIsPanel(found, window)
  const { areas, doubts: cut } = place?.isSure ? areasOf(place, told.panel, colours) : { areas: [], doubts: [] }
  const { card, unsure } = cardIn(found, told.card)
  const chart = chartIn(found)
  const layout: Layout = {
    areas,
    card,
    chart,
    mmPerPixel: scaleIn(window, rect, card, told.cardSizeMm),
    sheet: sheet && { print: sheet.print, toPhoto: sheet.toPhoto, missing: sheet.missing },
  }
  const said = place
    ? [
        ...place.doubts,
        ...(sheet ? flatness(sheet) : []),
        ...cut,
        ...whatCalibrates(layout, unsure, told),
        ...(isBlown(place.quad, colours) ? [doubts.blown()] : []),
      ]
    : [chart && !sheet ? doubts.chartAlone() : doubts.noPanel()]
  return { layout: areas.length > 0 || card || chart || sheet ? layout : null, doubts: said }
}

/** Where the panel lies on a sheet of this print; null: no such sheet can have been printed. */
export function windowOf({ paper, panel }: SheetPrint): Rect | null {
  try {
    return photoSheetPlaces(paper, panel).window
  } catch (error) {
    if (error instanceof Refusal) return null
    throw error
  }
}

function flatness({ bentMm, missing }: FoundSheet): Caution[] {
  if (bentMm > mostBentMm) return [doubts.bentSheet(bentMm)]
  return missing.length > 1 ? [doubts.hiddenCorner()] : []
}

function whatCalibrates({ card, chart, sheet }: Layout, unsure: boolean, { isSheetKnown }: Told): Caution[] {
  if (card || chart || (sheet && isSheetKnown)) return []
  if (unsure) return [doubts.unsureCard()]
  return [sheet ? doubts.sheetNotKnown() : doubts.noCard()]
}

function scaleIn(
  window: Quad | null,
  rect: Rect | null,
  card: Card | null,
  cardSizeMm: Told['cardSizeMm'],
): number | null {
  if (window && rect) return scaleOf(window, rect)
  return card && cardSizeMm ? scaleOf(card.quad, { widthMm: cardSizeMm.width, heightMm: cardSizeMm.height }) : null
}

const isBlown = (quad: Quad, colours: readonly ColoursAlong[]): boolean =>
  (alongOf(quad, colours)?.clipped ?? 0) > mostBlown
