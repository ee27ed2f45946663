import type { Random } from '../../../../electron/service/demonstration/random.ts'
import { srgb } from '../../../../shared-core/colour/spaces.ts'

/** A camera's rendering after its matrix: linear light to encoded numbers, 0 to 1. */
export type Tone = {
  name: string
  /** Balanced linear light at which the sensor is full, diffuse white of the nominal exposure being 1. */
  headroom: number
  /** Encoded, from linear 0..headroom. */
  curve: (linear: number) => number
  /** How much of the curve works on the luminance instead of each channel: 0 for most cameras. */
  byLuminance: number
  /** Chroma's factor on linear light, and on encoded numbers. */
  saturation: number
  vividness: number
}

const clip = (v: number): number => (v <= 0 ? 0 : v >= 1 ? 1 : v)

/** An S around a pivot in encoded numbers, from a logistic curve; strength 0 is the straight line. */
function sOf(pivot: number, steepness: number, strength: number): (v: number) => number {
  const logistic = (v: number) => 1 / (1 + Math.exp(-steepness * (v - pivot)))
  const [low, high] = [logistic(0), logistic(1)]
  return (v) => v + strength * ((logistic(v) - low) / (high - low) - v)
}

/** Toe and shoulder of a film: a power below, saturation above. Full light of the sensor gives 1. */
function filmOf(power: number, half: number, headroom: number): (linear: number) => number {
  const f = (x: number) => x ** power / (x ** power + half)
  const top = f(headroom)
  return (linear) => f(Math.max(0, linear)) / top
}

/** Contrast shows how far it bends; most phones bend a good deal, some hardly. */
export function anyTone(random: Random, toned: boolean): Tone {
  const even = { headroom: 1, byLuminance: 0, saturation: 1, vividness: 1 }
  if (!toned) return { ...even, name: 'exact', curve: (x) => srgb.encode(clip(x)) }
  const colour = {
    byLuminance: random.chance(0.2) ? random.between(0.15, 0.6) : 0,
    saturation: random.chance(0.4) ? 1 : random.between(0.95, 1.16),
    vividness: random.chance(0.75) ? 1 : random.between(1, 1.12),
  }
  const black = random.chance(0.3) ? random.between(0, 0.02) : 0
  const lowered = (v: number) => clip((v - black) / (1 - black))
  const kind = random.pick(['none', 's', 's', 's', 'film', 'film', 'power'])
  if (kind === 'none') return { ...even, ...colour, name: 'none', curve: (x) => srgb.encode(clip(x)) }
  if (kind === 's') {
    const strength = random.between(0.05, 0.75)
    const bend = sOf(random.between(0.36, 0.56), random.between(4, 6), strength)
    return { ...even, ...colour, name: `s ${strength.toFixed(2)}`, curve: (x) => lowered(bend(srgb.encode(clip(x)))) }
  }
  if (kind === 'power') {
    const power = random.between(0.88, 1.2)
    return {
      ...even,
      ...colour,
      name: `power ${power.toFixed(2)}`,
      curve: (x) => lowered(srgb.encode(clip(x)) ** power),
    }
  }
  const headroom = random.between(1.1, 2.4)
  const power = random.between(1, 1.35)
  const film = filmOf(power, random.between(0.6, 3), headroom)
  return {
    ...colour,
    headroom,
    name: `film ${power.toFixed(2)}`,
    curve: (x) => lowered(srgb.encode(clip(film(Math.min(headroom, x))))),
  }
}

/** Linear light that the curve encodes as `encoded`. */
export function linearOf(tone: Tone, encoded: number): number {
  let [low, high] = [0, tone.headroom]
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2
    if (tone.curve(middle) < encoded) low = middle
    else high = middle
  }
  return (low + high) / 2
}
