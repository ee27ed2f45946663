import type { Random } from '../../../../electron/service/demonstration/random.ts'
import { type Lab, labToLch } from '../../../../shared-core/colour/lab.ts'
import { spectrumToLab } from '../../../../shared-core/colour/spectrum.ts'
import { throughFilm, trappedShare } from '../../../../shared-core/film/forward.ts'
import { sampling, sceneData, spectrumOf, type Values } from './data.ts'

export type PaintKind = 'candy' | 'metallic' | 'solid'

/** A coat as light meets it, seen at one angle. */
export type Paint = {
  kind: PaintKind
  reflectance: Values
  /** Standard deviation of the brightness of one photo pixel's worth of flake. */
  grain: number
  /** Single bright flakes, 0 for none. */
  sparkle: number
  /** How much brighter it gets over 100 mm towards the lamp. */
  lobe: number
  /** 0 satin, 1 polished clear: how sharp the room's reflection is. */
  gloss: number
}

/** What a painter changes between two panels: the same coat, a little more or less of something. */
export type Recipe = { kind: PaintKind; at: (amount: number) => Values; paint: Omit<Paint, 'kind' | 'reflectance'> }

export const labOf = (reflectance: Values): Lab => spectrumToLab(reflectance, sampling)

const logBetween = (random: Random, low: number, high: number): number => low * (high / low) ** random.next()

const clamp = (value: number): number => Math.min(0.98, Math.max(0.0005, value))

/** Slow waves over the spectrum, mean 1: no two batches of anything are quite alike. */
export function wavy(random: Random, strength: number): (nm: number) => number {
  const waves = [1, 2, 3].map((n) => ({
    height: (strength * random.normal()) / n,
    phase: random.between(0, 2 * Math.PI),
    nm: 420 / n,
  }))
  return (nm) =>
    waves.reduce(
      (product, wave) => product * Math.exp(wave.height * Math.sin((2 * Math.PI * nm) / wave.nm + wave.phase)),
      1,
    )
}

/** Some dyes added: absorbance with the strongest peak near 1. */
function dyeMixture(random: Random): Values {
  const { dyes } = sceneData()
  const parts = Array.from({ length: random.pick([1, 1, 2, 2, 3]) }, () => ({
    dye: random.pick(dyes),
    share: random.between(0.25, 1),
  }))
  return spectrumOf((_, i) => parts.reduce((sum, { dye, share }) => sum + share * Math.max(0, dye[i]!), 0))
}

/** Metal flake in clear: how much of a metal's light goes this way, sometimes with a little tint in the clear. */
function metalGround(random: Random): { reflectance: Values; level: number } {
  const { metals } = sceneData()
  const silvery = random.chance(0.55)
  const metal = random.pick(metals.filter(({ id }) => /^(al|ag|cr)/.test(id) === silvery)).reflectance
  const level = random.between(0.22, 0.8)
  const tint = random.chance(0.4) ? random.between(0, 0.25) : 0
  const dye = random.pick(sceneData().dyes)
  const drift = wavy(random, 0.02)
  return { level, reflectance: spectrumOf((nm, i) => metal[i]! * Math.exp(-tint * dye[i]!) * drift(nm)) }
}

const flakeLooks = (random: Random): Omit<Paint, 'kind' | 'reflectance'> => ({
  grain: logBetween(random, 0.02, 0.24),
  sparkle: random.chance(0.5) ? random.between(0.1, 1.4) : 0,
  lobe: random.between(0, 0.1),
  gloss: random.chance(0.8) ? random.between(0.6, 1) : random.between(0, 0.6),
})

const makers: Record<PaintKind, (random: Random) => Recipe> = {
  candy: (random) => {
    const ground = metalGround(random)
    const level = random.between(0.55, 0.85)
    const absorbance = dyeMixture(random)
    const load = logBetween(random, 0.25, 3.2)
    const trapped = trappedShare(random.between(-2, 0))
    const flare = random.between(0, 0.002)
    const reflectance = ground.reflectance.map((r) => clamp(r * level))
    return {
      kind: 'candy',
      at: (amount) =>
        throughFilm(
          { reflectance, trapped },
          absorbance.map((a) => 2 * load * amount * a),
          flare,
        ),
      paint: flakeLooks(random),
    }
  },
  metallic: (random) => {
    const { reflectance, level } = metalGround(random)
    return {
      kind: 'metallic',
      at: (amount) => reflectance.map((r) => clamp(r * level * amount)),
      paint: flakeLooks(random),
    }
  },
  // Opaque pigment in white: Kubelka and Munk's K/S adds, reflectance follows.
  solid: (random) => {
    const pigment = dyeMixture(random)
    const amountOfIt = logBetween(random, 0.02, 5)
    const black = random.chance(0.5) ? logBetween(random, 0.003, 0.4) : 0.002
    const drift = wavy(random, 0.03)
    return {
      kind: 'solid',
      at: (amount) =>
        spectrumOf((nm, i) => {
          const white = 0.004 + 0.5 * Math.exp(-(nm - 380) / 16)
          const ks = white + black + amountOfIt * amount * pigment[i]! * drift(nm)
          return clamp(1 + ks - Math.sqrt(ks * ks + 2 * ks))
        }),
      paint: {
        grain: random.between(0, 0.006),
        sparkle: 0,
        lobe: random.between(0, 0.01),
        gloss: random.between(0.3, 1),
      },
    }
  },
}

/** A coat that a phone has a chance with: neither near black nor beyond any paint. */
export function recipe(
  random: Random,
  kind: PaintKind = random.pick(['candy', 'candy', 'metallic', 'solid', 'solid']),
): Recipe {
  for (;;) {
    const made = makers[kind](random)
    const { l, c } = labToLch(labOf(made.at(1)))
    if (l > 22 && l < 93 && c < 110) return made
  }
}

export const paintOf = ({ kind, at, paint }: Recipe, amount = 1): Paint => ({ kind, reflectance: at(amount), ...paint })

/** A card, tile or sheet: nearly flat, as printed and plastic greys are, with the white's fall towards violet. */
export function neutral(random: Random, lightness: number, slope = 0.015): Values {
  const y = ((lightness + 16) / 116) ** 3
  const drift = wavy(random, slope)
  const fall = lightness > 85 ? 0.6 : 0.12
  const shape = spectrumOf((nm) => drift(nm) * (1 - fall * Math.exp(-(nm - 380) / 14)))
  const middle = shape.slice(20, 50).reduce((a, b) => a + b, 0) / 30
  return shape.map((v) => clamp((v / middle) * y))
}

/** The bench top or what lies on it: grey, paper, or any paint. */
export function benchTop(random: Random): Values {
  if (random.chance(0.45))
    return neutral(random, random.pick([25, 40, 55, 65, 75, 85, 92]) + random.between(-5, 5), 0.06)
  return paintOf(recipe(random, 'solid')).reflectance
}
