import type { Point } from '../../../../shared-core/records/area.ts'

type Size = { width: number; height: number }

/**
 * Where a lens that bends straight lines a little puts a point of the picture; `bends` is the share of its distance from the middle by
 * which a corner of the picture moves outwards.
 */
export function throughLens([x, y]: Point, { width, height }: Size, bends: number): Point {
  const [dx, dy] = [x - width / 2, y - height / 2]
  const r2 = (4 * (dx * dx + dy * dy)) / (width * width + height * height)
  return [x + bends * r2 * dx, y + bends * r2 * dy]
}

/** What a camera leaves of it after its own correction: the picture resampled between its pixels. Returns new pixels. */
export function bentByLens(raw: Float32Array, size: Size, bends: number): Float32Array {
  if (bends === 0) return raw
  const { width, height } = size
  const out = new Float32Array(raw.length)
  // The inverse of so small a bend is the bend the other way: `throughLens` written out, for speed.
  const reach = (-4 * bends) / (width * width + height * height)
  for (let y = 0, i = 0; y < height; y++) {
    const dy = y + 0.5 - height / 2
    for (let x = 0; x < width; x++, i += 3) {
      const dx = x + 0.5 - width / 2
      const by = reach * (dx * dx + dy * dy)
      const fromX = Math.min(width - 1.001, Math.max(0, x + by * dx))
      const fromY = Math.min(height - 1.001, Math.max(0, y + by * dy))
      const column = fromX | 0
      const row = fromY | 0
      const fx = fromX - column
      const fy = fromY - row
      const at = 3 * (row * width + column)
      const below = at + 3 * width
      for (let c = 0; c < 3; c++) {
        const above = raw[at + c]! + fx * (raw[at + 3 + c]! - raw[at + c]!)
        const under = raw[below + c]! + fx * (raw[below + 3 + c]! - raw[below + c]!)
        out[i + c] = above + fy * (under - above)
      }
    }
  }
  return out
}
