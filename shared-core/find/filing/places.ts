import { isConvex, middleOf, pointInQuad, signedArea } from '../../capture/geometry.ts'
import type { Card, Chart, MarkedArea, Quad } from '../../records/area.ts'
import type { Caution } from '../../records/photo.ts'
import { type Found, type FoundPanel, surely } from '../../records/proposal.ts'
import { alongOf, type ColoursAlong, coloursOfStrips } from './colours-along.ts'
import { doubts } from './doubts.ts'
import { cutsOf, evenCuts, stripsOf, usualRun } from './strips.ts'
import { whichEnd } from './which-end.ts'
import type { KnownPanel } from './which-panel.ts'

/** `isSure`: it may be drawn as found, and read. */
export type Place = { quad: Quad; steps: readonly Quad[]; isSure: boolean; doubts: Caution[] }

/** A panel that lies in its window covers it but for so much, and reaches so far beyond. Our own figures, no source. */
const leastOfWindow = 0.5
const mostOfWindow = 1.2

/**
 * Where the panel lies: on a sheet in its window, by its own edges where those were found; else where the one panel that was found
 * for sure lies.
 * @param window  of the sheet that was found
 */
export function whereIsPanel({ panels }: Pick<Found, 'panels'>, window: Quad | null): Place | null {
  const whole = panels.filter(({ quad }) => isConvex(quad))
  if (window && isConvex(window)) {
    const inWindow = whole.find((panel) => panel.confidence >= surely && liesIn(panel, window))
    if (inWindow) return { ...placeOf(inWindow), isSure: true, doubts: [] }
    return { quad: window, steps: [], isSure: true, doubts: [doubts.notSeenInWindow()] }
  }
  const sure = whole.filter(({ confidence }) => confidence >= surely)
  const [first] = sure.length > 0 ? sure : whole
  if (!first) return null
  if (sure.length === 0) return { ...placeOf(first), isSure: false, doubts: [doubts.unsurePanel()] }
  return { ...placeOf(first), isSure: true, doubts: sure.length > 1 ? [doubts.severalPanels(sure.length)] : [] }
}

const placeOf = ({ quad, steps }: Pick<FoundPanel, 'quad' | 'steps'>) => ({ quad, steps })

function liesIn({ quad }: FoundPanel, window: Quad): boolean {
  const share = Math.abs(signedArea(quad)) / Math.abs(signedArea(window))
  return pointInQuad(middleOf(quad), window) && share >= leastOfWindow && share <= mostOfWindow
}

/** The areas of a panel's steps, in their order in the photo. */
export function areasOf(
  { quad, steps: found }: Pick<Place, 'quad' | 'steps'>,
  known: KnownPanel | null,
  colours: readonly ColoursAlong[],
): { areas: MarkedArea[]; doubts: Caution[] } {
  const area = (shape: Quad, stepId: string | null): MarkedArea => ({ stepId, shape: { kind: 'quad', quad: shape } })
  const cut = cutsOf(quad, found)
  if (!known) {
    const strips = cut ? stripsOf(quad, cut) : [quad]
    return { areas: strips.map((strip) => area(strip, null)), doubts: [] }
  }
  const ids = known.panel.steps.flatMap(({ id }) => id ?? [])
  if (ids.length < 2) return { areas: [area(quad, ids[0] ?? null)], doubts: [] }
  const fits = cut !== null && cut.cuts.length + 1 === ids.length
  const cuts = fits ? cut : { run: cut?.run ?? usualRun(quad), cuts: evenCuts(ids.length) }
  const here = alongOf(quad, colours)
  const seen = here ? coloursOfStrips(here[cuts.run], cuts.cuts) : ids.map(() => null)
  const end = whichEnd(known.panel, seen, known.read)
  const inOrder = end === 'last' ? ids.toReversed() : ids
  return {
    areas: stripsOf(quad, cuts).map((strip, i) => area(strip, inOrder[i]!)),
    doubts: [...(fits ? [] : [doubts.steps(found.length, ids.length)]), ...(end === null ? [doubts.whichEnd()] : [])],
  }
}

export function cardIn({ cards }: Pick<Found, 'cards'>, lab: Card['lab']): { card: Card | null; unsure: boolean } {
  const [best] = cards.filter(({ quad }) => isConvex(quad))
  // one that is not sure would calibrate with whatever lies there
  if (!best || best.confidence < surely) return { card: null, unsure: best !== undefined }
  return { card: { quad: best.quad, lab }, unsure: false }
}

/** A chart that is not sure is none: its corners, pulled wrong, would teach wrong colours. One seen in a mirror is read as well. */
export const chartIn = ({ chart }: Pick<Found, 'chart'>): Chart | null =>
  chart && chart.confidence >= surely && isConvex(chart.quad) ? { quad: chart.quad, table: 'avg30' } : null

/** Mean scale of a rectangle whose size is known. */
export function scaleOf(quad: Quad, size: { widthMm: number; heightMm: number }): number | null {
  const area = Math.abs(signedArea(quad))
  return area > 0 && isConvex(quad) ? Math.sqrt((size.widthMm * size.heightMm) / area) : null
}
