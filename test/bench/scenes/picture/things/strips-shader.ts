import type { Vector3 } from '../../../../../shared-core/colour/matrix.ts'
import type { Canvas } from '../render.ts'
import type { Strips } from '../shot.ts'
import { mixed, type Shader } from './render-things.ts'

/** How far the paint piles up beside the tape. */
const ridgeMm = 0.4

/** Strips side by side: each edge blends two paints and carries the ridge of the tape. */
export function stripsShader(
  rawIn: Canvas['rawIn'],
  share: Float32Array | null,
  { across, paints, edges, ridge }: Strips,
): Shader {
  const own: (readonly [Vector3, Vector3])[] = paints.map(rawIn)
  return (u, v, i, _x, _y, out) => {
    const [along, beside] = across === 'width' ? [u, v] : [v, u]
    let pile = 0
    for (let k = 0; k < 3; k++) out[k] = mixed(share, i, own[0]!, k)
    for (let n = 0; n < edges.length; n++) {
      const { atMm, lean, softMm } = edges[n]!
      const from = along - atMm - lean * beside
      const t = Math.min(1, Math.max(0, 0.5 + from / softMm))
      if (t > 0) for (let k = 0; k < 3; k++) out[k] = out[k]! + t * (mixed(share, i, own[n + 1]!, k) - out[k]!)
      pile += Math.exp(-((from / ridgeMm) ** 2))
    }
    for (let k = 0; k < 3; k++) out[k] = out[k]! * (1 + ridge * pile)
  }
}
