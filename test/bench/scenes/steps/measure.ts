import { homographyBetween, mapPoint } from '../../../../shared-core/capture/geometry.ts'
import { findSteps } from '../../../../shared-core/find/things/steps.ts'
import type { Point, Quad } from '../../../../shared-core/records/area.ts'
import { pixelsOf } from '../cases.ts'
import { planSteps, type SteppedPanel } from './plan.ts'

export type StepsMeasured = {
  group: 'steps'
  set: number
  /** Each true boundary: how far its two strips' colours lie apart, and the larger distance of the found one's two ends. */
  boundaries: { apart: number; softMm: number; offMm: number | null }[]
  /** Found where there is none. */
  invented: number
}

const nearEnoughMm = 2

export async function measureSteps(set: number, seed: string): Promise<StepsMeasured[]> {
  const panel = planSteps(`${seed}/steps/${set}`)
  const pixels = await pixelsOf(panel.planned)
  const found = findSteps(pixels, panel.planned.profile, panel.marked)
  return [{ group: 'steps', set, ...compare(panel, found) }]
}

/** A boundary by where it meets both sides of the panel, millimetres from the middle, across its strips. */
type Boundary = { across: 'width' | 'height'; ends: [number, number] }

export function compare({ panelOn, strips, outline, apart }: SteppedPanel, found: readonly Quad[]) {
  const boundaries = boundariesOf(found, outline, panelOn.widthMm, panelOn.heightMm)
  const taken = new Set<Boundary>()
  const half = (strips?.across === 'width' ? panelOn.heightMm : panelOn.widthMm) / 2
  const told = (strips?.edges ?? []).map(({ atMm, lean, softMm }, i) => {
    let [best, offMm]: [Boundary | null, number] = [null, Number.POSITIVE_INFINITY]
    for (const one of boundaries) {
      if (one.across !== strips!.across || taken.has(one)) continue
      const off = Math.max(Math.abs(one.ends[0] - atMm + lean * half), Math.abs(one.ends[1] - atMm - lean * half))
      if (off < offMm) [best, offMm] = [one, off]
    }
    if (best && offMm <= nearEnoughMm) taken.add(best)
    return { apart: apart[i]!, softMm, offMm: best ? offMm : null }
  })
  return { boundaries: told, invented: boundaries.length - taken.size }
}

/** Between each two neighbouring strips: the mean of the edges with which they meet. */
export function boundariesOf(found: readonly Quad[], outline: Quad, widthMm: number, heightMm: number): Boundary[] {
  const [w, h] = [widthMm / 2, heightMm / 2]
  const toPanel = homographyBetween(outline, [
    [-w, -h],
    [w, -h],
    [w, h],
    [-w, h],
  ])
  const strips = found.map((quad) => quad.map((corner) => mapPoint(toPanel, corner)))
  const middles = strips.map((corners): Point => [mean(corners.map(([x]) => x)), mean(corners.map(([, y]) => y))])
  const spread = (k: 0 | 1) => Math.max(...middles.map((m) => m[k])) - Math.min(...middles.map((m) => m[k]))
  if (strips.length < 2) return []
  const k = spread(0) > spread(1) ? 0 : 1
  const order = strips.map((corners, i) => ({ corners, at: middles[i]![k] })).toSorted((a, b) => a.at - b.at)
  return order.slice(1).map(({ corners }, i): Boundary => {
    const before = sideOf(order[i]!.corners, k, 1)
    const after = sideOf(corners, k, -1)
    return {
      across: k === 0 ? 'width' : 'height',
      ends: [(before[0] + after[0]) / 2, (before[1] + after[1]) / 2],
    }
  })
}

/** The two corners furthest along an axis: their places on it, the one with the smaller other coordinate first. */
function sideOf(corners: Point[], k: 0 | 1, sign: 1 | -1): [number, number] {
  const two = corners.toSorted((a, b) => sign * (b[k] - a[k])).slice(0, 2)
  const [first, second] = two.toSorted((a, b) => a[1 - k]! - b[1 - k]!)
  return [first![k], second![k]]
}

const mean = (values: number[]): number => values.reduce((a, b) => a + b, 0) / values.length
