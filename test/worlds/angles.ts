/**
 * Light in a clear film by angle: what crosses and what turns back at its surface, and where a ground sends it.
 * Directions are polar angles inside the film, in zones of equal share of a lambertian's light but for a border at the
 * critical angle, beyond which all of it turns back.
 */

/** Unpolarised reflectance of a smooth border, from a side of index `from`. Source: Fresnel's equations. */
export function fresnel(from: number, to: number, cosine: number): number {
  const sine2 = (from / to) ** 2 * (1 - cosine * cosine)
  if (sine2 >= 1) return 1
  const beyond = Math.sqrt(1 - sine2)
  const across = (from * cosine - to * beyond) / (from * cosine + to * beyond)
  const along = (from * beyond - to * cosine) / (from * beyond + to * cosine)
  return (across * across + along * along) / 2
}

const zonesOut = 6
const zonesTrapped = 12
export const zoneCount = zonesOut + zonesTrapped

/** A film of one index, lit at 45° and seen at 0° from air. */
export type Film = {
  index: number
  /** Cosine, inside, of light that came in at 45°. */
  cosIn: number
  /** Radiance that comes out per radiance within, times what came in: multiplies a reflectance factor inside. */
  pass: number
  /** By zone: cosine, sine, share of a lambertian's light, share turned back at the surface. */
  cos: readonly number[]
  sin: readonly number[]
  share: readonly number[]
  back: readonly number[]
}

export function filmOf(index: number): Film {
  const critical2 = 1 / (index * index)
  const edges = [
    ...Array.from({ length: zonesOut }, (_, i) => (critical2 * i) / zonesOut),
    ...Array.from({ length: zonesTrapped + 1 }, (_, i) => critical2 + ((1 - critical2) * i) / zonesTrapped),
  ]
  const zones = Array.from({ length: zoneCount }, (_, z) => [edges[z]!, edges[z + 1]!] as const)
  const sin2 = zones.map(([low, high]) => (low + high) / 2)
  const within = 20
  return {
    index,
    cosIn: Math.sqrt(1 - critical2 / 2),
    pass: ((1 - fresnel(1, index, Math.SQRT1_2)) * (1 - fresnel(1, index, 1))) / (index * index),
    cos: sin2.map((s) => Math.sqrt(1 - s)),
    sin: sin2.map(Math.sqrt),
    share: zones.map(([low, high]) => high - low),
    back: zones.map(([low, high]) => {
      const at = (k: number) => fresnel(index, 1, Math.sqrt(1 - (low + ((high - low) * (k + 0.5)) / within)))
      return Array.from({ length: within }, (_, k) => at(k)).reduce((a, b) => a + b, 0) / within
    }),
  }
}

/** Where a surface sends light: all columns add up to 1; what it absorbs is counted elsewhere. */
export type Spread = {
  /** Reflectance factor towards 0°, for light that came in at 45°, and for light from each zone. */
  first: number
  seen: readonly number[]
  /** Share by zone, for light that came in at 45°. */
  from: readonly number[]
  /** From zone (column) to zone (row), row by row; null: the same from everywhere, as `from`. */
  again: Float64Array | null
}

export const lambertian = (film: Film): Spread => ({
  first: 1,
  seen: film.cos.map(() => 1),
  from: film.share,
  again: null,
})

/**
 * Flakes that lie nearly flat, each a small mirror: a lobe about the mirror direction.
 * @param tilt  spread of the flakes' tilts, radians: exp(−(angle / tilt)²)
 */
export function flakes(film: Film, tilt: number): Spread {
  const density = (cosHalf: number) =>
    Math.exp(-((Math.acos(Math.min(1, cosHalf)) / tilt) ** 2)) / (Math.PI * tilt * tilt)
  const sinIn = Math.sqrt(1 - film.cosIn * film.cosIn)
  const turns = Array.from({ length: 24 }, (_, k) => Math.cos((Math.PI * (k + 0.5)) / 24))
  /** Share sent into each zone, not yet made to add up, and the reflectance factor towards 0°. */
  const column = (cosI: number, sinI: number) => {
    const raw = film.cos.map((cosO, z) => {
      const mean =
        turns.reduce((sum, turn) => {
          // the half vector's height: cos of the tilt that mirrors one direction into the other
          const dot = cosI * cosO - sinI * film.sin[z]! * turn
          return sum + density((cosI + cosO) / Math.sqrt(2 + 2 * dot))
        }, 0) / turns.length
      return (Math.PI * film.share[z]! * mean) / (4 * cosI * cosO)
    })
    const total = raw.reduce((a, b) => a + b, 0)
    return {
      shares: raw.map((r) => r / total),
      seen: (Math.PI * density(Math.sqrt((1 + cosI) / 2))) / (4 * cosI) / total,
    }
  }
  const first = column(film.cosIn, sinIn)
  const columns = film.cos.map((cos, z) => column(cos, film.sin[z]!))
  const again = new Float64Array(zoneCount * zoneCount)
  columns.forEach(({ shares }, i) => shares.forEach((share, o) => (again[o * zoneCount + i] = share)))
  return { first: first.seen, seen: columns.map(({ seen }) => seen), from: first.shares, again }
}
