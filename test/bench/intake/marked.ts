import type { Layout, Quad } from '../../../shared-core/records/area.ts'

/** What is marked in the photo: card and two areas; and once more with a chart, where there is one. */
export type Marked = { plain: Layout; chart: Layout | null }

/** A card and two areas in the middle of any photo. */
export function markedAnywhere(width: number, height: number): Marked {
  const part = (left: number, top: number, right: number, bottom: number): Quad => [
    [left * width, top * height],
    [right * width, top * height],
    [right * width, bottom * height],
    [left * width, bottom * height],
  ]
  const area = (quad: Quad) => ({ stepId: null, shape: { kind: 'quad' as const, quad } })
  return {
    plain: {
      areas: [area(part(0.15, 0.2, 0.4, 0.48)), area(part(0.15, 0.52, 0.4, 0.8))],
      card: { quad: part(0.6, 0.3, 0.8, 0.7), lab: { l: 50, a: 0, b: 0 } },
      mmPerPixel: 300 / Math.max(width, height),
    },
    chart: null,
  }
}
