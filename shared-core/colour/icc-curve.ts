import type { Curve } from './spaces.ts'

/** Curves come from a file: whatever they compute is kept inside 0..1, and a number that is none counts as 0. */
function bounded(curve: Curve): Curve {
  return (v) => {
    const y = curve(v)
    return y > 0 ? Math.min(1, y) : 0
  }
}

/** A negative base (a broken file) is dark, not NaN. */
const raise = (base: number, gamma: number) => (base > 0 ? base ** gamma : 0)

function tabled(view: DataView, count: number): Curve {
  const table = Float64Array.from({ length: count }, (_, i) => view.getUint16(12 + 2 * i) / 65_535)
  return (v) => {
    const place = Math.min(1, Math.max(0, v)) * (count - 1)
    const below = Math.min(count - 2, Math.floor(place))
    const from = table[below] ?? 0
    return from + (place - below) * ((table[below + 1] ?? from) - from)
  }
}

/** One entry for every code of a 16-bit file; more would only cost memory. */
const mostEntries = 65_536

/** `curv`, ICC.1:2010 clause 10.5: no entries mean identity, one a gamma in u8Fixed8, more a table to interpolate. */
function sampledCurve(view: DataView): Curve | null {
  if (view.byteLength < 12) return null
  const count = view.getUint32(8)
  if (count > mostEntries || 12 + 2 * count > view.byteLength) return null
  if (count === 0) return bounded((v) => v)
  if (count > 1) return bounded(tabled(view, count))
  const gamma = view.getUint16(12) / 256
  return gamma > 0 ? bounded((v) => raise(v, gamma)) : null
}

/** How many numbers each function type of `para` has (ICC.1:2010 table 65). */
const parameterCounts = [1, 3, 4, 5, 7]

/** `para`, ICC.1:2010 clause 10.15, function types 0 to 4. */
function parametricCurve(view: DataView): Curve | null {
  if (view.byteLength < 12) return null
  const type = view.getUint16(8)
  const count = parameterCounts[type]
  if (count === undefined || 12 + 4 * count > view.byteLength) return null
  const values = Array.from({ length: count }, (_, i) => view.getInt32(12 + 4 * i) / 65_536)
  const [g = 1, a = 1, b = 0, c = 0, d = 0, e = 0, f = 0] = values
  if (!(g > 0)) return null
  switch (type) {
    case 0:
      return bounded((v) => raise(v, g))
    case 1:
      return bounded((v) => (a * v + b >= 0 ? raise(a * v + b, g) : 0))
    case 2:
      return bounded((v) => (a * v + b >= 0 ? raise(a * v + b, g) + c : c))
    case 3:
      return bounded((v) => (v >= d ? raise(a * v + b, g) : c * v))
    default:
      return bounded((v) => (v >= d ? raise(a * v + b, g) + e : c * v + f))
  }
}

/**
 * A tone curve out of its tag.
 * @param view  the tag's bytes from its type signature on
 * @returns     encoded 0..1 → linear 0..1; null when the tag is no curve or is cut short
 */
export function iccCurve(view: DataView): Curve | null {
  if (view.byteLength < 8) return null
  const signature = view.getUint32(0)
  if (signature === 0x63757276) return sampledCurve(view)
  if (signature === 0x70617261) return parametricCurve(view)
  return null
}
